/* Drawings that were packed to keep the file small are unpacked, and what was written once put back where it comes again; only
   then do the other scripts run, and hear of the page's load. */
addEventListener("load", async () => {
  "use strict";
  const all = (selector) => document.querySelectorAll(selector);
  const bytes = Uint8Array.from(atob(all("script.pack")[0].textContent), (sign) => sign.charCodeAt());
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  const known = [];
  const back = (_, first, again) => (again ? known[again] : (known.push(first), first));
  const drawings = (await new Response(stream).text()).replace(/\x01([^\x02]*)\x02|\x03(\d+)\x02/g, back).split("\0");
  all("[data-packed]").forEach((figure, n) => (figure.innerHTML = drawings[n]));
  for (const { textContent } of all("script.later")) document.body.append(Object.assign(document.createElement("script"), { textContent }));
  dispatchEvent(new Event("load"));
}, { once: true });

/* Drawings that were packed to keep the file small are unpacked; only then do the other scripts run, and hear of the page's load. */
addEventListener("load", async () => {
  "use strict";
  const all = (selector) => document.querySelectorAll(selector);
  const bytes = Uint8Array.from(atob(all("script.pack")[0].textContent), (sign) => sign.charCodeAt());
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  const drawings = (await new Response(stream).text()).split("\0");
  all("[data-packed]").forEach((figure, n) => (figure.innerHTML = drawings[n]));
  for (const { textContent } of all("script.later")) document.body.append(Object.assign(document.createElement("script"), { textContent }));
  dispatchEvent(new Event("load"));
}, { once: true });

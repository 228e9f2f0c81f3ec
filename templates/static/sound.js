/* Lets the beat of a drawing be heard, off until asked for. Knocks come at the solved instants of the shown time, so the sound
   stops, slows and jumps with the drawing; it is silent where beats would run together. */
addEventListener("load", () => {
  "use strict";
  const AHEAD = 0.2, STEP = 40;  // s that are set ahead, ms between looks at the drawing
  const OFF = 0.3;  // s by which drawing and sound may part before the sound follows: more than a frame that came late
  const MOST = 5;  // beats a second; a movement that beats faster is heard at real speed
  const box = document.querySelector(".sound"), player = window.betweenPlates;
  const { drawing, period, hz, dies, ways, said } = JSON.parse(box.querySelector("script").textContent);
  const switched = box.querySelector("button"), status = box.querySelector("[role=status]"), natural = 2000 / period;
  let sound, out, knocks, timer, from, before;

  // One knock: a tone and a hiss that die away; the hiss is the same each time. The exit pallet sounds a little lower.
  const knock = (tone) => {
    const rate = sound.sampleRate, length = Math.ceil(rate * dies * 0.006), buffer = sound.createBuffer(1, length, rate);
    const samples = buffer.getChannelData(0);
    for (let i = 0, s = 1; i < length; i++) {
      s = (Math.imul(s, 1664525) + 1013904223) >>> 0;
      const t = i / rate;
      samples[i] = Math.exp(-1000 * t / dies) * (0.6 * Math.sin(2 * Math.PI * tone * t) + 0.4 * (s / 2147483648 - 1));
    }
    return buffer;
  };

  function say(what) {
    if (status.textContent !== said[what]) status.textContent = said[what];
  }

  function strike(at, loud, pallet) {
    const source = sound.createBufferSource(), gain = sound.createGain();
    source.buffer = knocks[pallet];
    gain.gain.value = loud / 2;
    source.connect(gain).connect(out);
    source.start(at);
  }

  // What is set ahead is dropped with the way out that it goes by.
  function hush() {
    out?.disconnect();
    from = out = undefined;
  }

  function look() {
    const speed = player.speed(drawing), shown = 1000 * player.time(drawing), now = sound.currentTime;
    const fast = natural * speed > Math.max(MOST, natural), parted = from && Math.abs(now - from.now - (shown - from.shown) / 1000 / speed);
    if (from?.speed !== speed || parted > OFF) hush();
    // A drawing out of sight stands, though it is not stopped.
    const stands = !player.running(drawing) || (!from && shown === before);
    before = shown;
    if (stands || fast) {
      hush();
      return say(fast ? "fast" : "standing");
    }
    say("heard");
    if (!from) {
      from = { now, shown, speed, done: shown };
      out = sound.createGain();
      out.connect(sound.destination);
    }
    const until = from.shown + 1000 * speed * (now + AHEAD - from.now);
    const states = ways[box.querySelector(":checked")?.value || "in"];
    const state = document.querySelector(`[data-drawing=${drawing}] [data-choose=state]:checked`)?.value;
    const beats = states[state] || Object.values(states)[0];
    for (let n = Math.floor(from.done / period); n * period <= until; n++) {
      for (const [part, loud, pallet] of beats) {
        const t = (n + part) * period;
        if (t > from.done && t <= until) strike(from.now + (t - from.shown) / 1000 / speed, loud, pallet);
      }
    }
    from.done = until;
  }

  switched.addEventListener("click", async () => {
    const on = !timer;
    switched.setAttribute("aria-pressed", on);
    clearInterval(timer);
    timer = undefined;
    if (!on) {
      hush();
      sound.suspend();
      return say("silent");
    }
    sound ||= new AudioContext();  // browsers let it sound because a hand has asked for it
    knocks ||= [hz, hz * 0.94].map(knock);
    sound.resume();
    player.speed(drawing, 1);
    timer = setInterval(look, STEP);
    look();
  });
  box.addEventListener("change", hush);
  if (window.AudioContext) box.querySelector(".bar").hidden = false;
});

"use strict";
/* Shows and hides what is on the page, nothing else: every picture, bit and sentence was written beforehand. */
(() => {
  const one = (selector, root = document) => root.querySelector(selector);
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  const decks = all(".deck");
  let deck = 0, view = 0, state = 0, home = null, presenter = null;
  const turns = new Map();                     /* which parallel of a part comes next */
  const covered = new WeakMap();               /* rows the teacher has covered */

  const views = () => all(".view", decks[deck]);
  const states = (section) => section.dataset.states.split("|");

  const show = (moved = false) => {
    const section = views()[view];
    decks.forEach((each, at) => { each.hidden = at !== deck; });
    views().forEach((each) => { each.hidden = each !== section; });
    const covers = covered.get(section) ?? new Set();
    const hidden = new Set(states(section)[state].split(" ").filter(Boolean));
    const fresh = [];
    all("[data-row]", section).forEach((part) => {
      const away = hidden.has(part.dataset.row) || covers.has(part.dataset.name);
      if (!away && part.classList.contains("was-away") && part.closest(".words")) fresh.push(part.textContent);
      part.toggleAttribute("hidden", away);
      if (part.namespaceURI.endsWith("svg")) part.style.display = away ? "none" : "";
      part.classList.toggle("moving", moved && !away && part.classList.contains("was-away"));
      part.classList.toggle("was-away", away);
    });
    one("#said").textContent = fresh.join(" ") || one("h2", section).textContent + ". " + (one("header p", section)?.textContent ?? "");
    one("#covers").replaceChildren(...all(".cover", section).map((button) => {
      const copy = button.cloneNode(true);
      const away = covers.has(copy.dataset.cover);
      copy.setAttribute("aria-pressed", String(away));
      copy.addEventListener("click", () => cover(copy.dataset.cover));
      return copy;
    }));
    one(".covers").hidden = !one(".cover", section);
    const part = section.dataset.part;
    const partHere = deck === 0 ? part : decks[deck].dataset.part;
    one("#another").hidden = !decks.some((each) => each.dataset.part === partHere);
    one("#where").textContent = (view + 1) + " / " + views().length;
    one("#back").disabled = deck === 0 && view === 0 && state === 0;
    one("#next").disabled = deck === 0 && view === views().length - 1 && state === states(section).length - 1;
    wipe();
    tell();
    turned();
  };

  const cover = (row) => {
    const section = views()[view];
    const rows = covered.get(section) ?? new Set();
    if (!rows.delete(row)) rows.add(row);
    covered.set(section, rows);
    show(true);
    one("#covers [data-cover='" + row + "']").focus();
  };
  const next = () => {
    if (state < states(views()[view]).length - 1) { state += 1; show(true); return; }
    if (view < views().length - 1) { view += 1; state = 0; show(); return; }
    if (home) { [deck, view, state] = home; home = null; show(); }
  };
  const back = () => {
    if (state > 0) { state -= 1; show(); return; }
    if (view > 0) { view -= 1; state = states(views()[view]).length - 1; show(); return; }
    if (home) { [deck, view, state] = home; home = null; show(); }
  };
  const to = (place) => { view = place < 0 ? views().length - 1 : place; state = 0; show(); };
  const another = () => {
    const part = deck === 0 ? views()[view].dataset.part : decks[deck].dataset.part;
    const mine = decks.map((each, at) => at).filter((at) => at && decks[at].dataset.part === part);
    if (!mine.length) return;
    const turn = turns.get(part) ?? 0;
    turns.set(part, turn + 1);
    home = home ?? [deck, view, state];
    deck = mine[turn % mine.length]; view = 0; state = 0;
    show();
  };

  /* Pen: a sheet of glass over the board, wiped when the picture changes. */
  const glass = one("#ink"), pen = glass.getContext("2d");
  let writing = false;
  const wipe = () => { glass.width = glass.clientWidth * devicePixelRatio; glass.height = glass.clientHeight * devicePixelRatio; };
  const spot = (event) => [event.offsetX * devicePixelRatio, event.offsetY * devicePixelRatio];
  glass.addEventListener("pointerdown", (event) => {
    writing = true; pen.beginPath(); pen.moveTo(...spot(event)); glass.setPointerCapture(event.pointerId);
    pen.lineWidth = 5 * devicePixelRatio; pen.lineCap = "round"; pen.lineJoin = "round";
    pen.strokeStyle = getComputedStyle(document.documentElement).getPropertyValue("--ink");
  });
  glass.addEventListener("pointermove", (event) => { if (writing) { pen.lineTo(...spot(event)); pen.stroke(); } });
  ["pointerup", "pointercancel"].forEach((name) => glass.addEventListener(name, () => { writing = false; }));
  const takePen = () => {
    const taken = one("#pen").getAttribute("aria-pressed") !== "true";
    one("#pen").setAttribute("aria-pressed", String(taken));
    glass.hidden = false; glass.classList.toggle("idle", !taken);
    if (!glass.width || glass.width < 2) wipe();
  };

  /* Notes: a second window that follows. */
  const tell = () => {
    if (!presenter || presenter.closed) return;
    const section = views()[view], page = presenter.document;
    const lines = all("p", all(".notes > div", section)[state]).map((each) => {
      const line = page.createElement("p"); line.textContent = each.textContent; return line;
    });
    const heading = page.createElement("h1"); heading.textContent = one("h2", section).textContent;
    const after = page.createElement("p"); after.className = "after";
    const coming = views()[view + 1];
    after.textContent = coming ? "Then: " + one("h2", coming).textContent : "This is the last picture.";
    page.body.replaceChildren(heading, ...lines, after);
  };
  const openNotes = () => {
    presenter = window.open("", "chalkpoint-notes", "width=640,height=720");
    if (!presenter) { one("#said").textContent = "The notes window was blocked; allow pop-ups for this file."; return; }
    const page = presenter.document;
    page.title = "Notes"; page.documentElement.lang = "en";
    const style = page.createElement("style");
    style.textContent = "body{font:20px/1.5 Verdana,'DejaVu Sans',sans-serif;margin:2em;background:#fbf9f4;color:#1e1c19}h1{font-size:1.2em}.after{color:#5a544b;margin-top:2em}";
    page.head.replaceChildren(style);
    page.addEventListener("keydown", keyed);
    tell();
  };

  /* Recording: the browser's own recorder, the time of every turn, one file to keep. Nothing is sent anywhere. */
  let recorder = null, began = 0, taken = [];
  const turned = () => {
    if (!recorder || recorder.state !== "recording" || deck !== 0) return;
    const cues = views()[view].dataset.cues.split("|")[state].split(" ");
    taken.push([Math.round(performance.now() - began), ...cues]);
  };
  const keep = (parts, milliseconds) => {
    const reader = new FileReader();
    reader.onload = () => {
      const take = { schema: "chalkpoint.take/1", lesson: document.title, milliseconds, turns: taken, sound: reader.result };
      const link = document.createElement("a");
      link.href = URL.createObjectURL(new Blob([JSON.stringify(take)], { type: "application/json" }));
      link.download = "lesson.take"; link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 60000);
      one("#said").textContent = "Recorded: keep the file lesson.take; the tool makes the video from it.";
    };
    reader.readAsDataURL(new Blob(parts, { type: parts[0]?.type ?? "" }));
  };
  const record = async () => {
    if (recorder) { recorder.stop(); return; }
    let microphone;
    try { microphone = await navigator.mediaDevices.getUserMedia({ audio: true }); }
    catch { one("#said").textContent = "The microphone was not given; allow it for this page."; return; }
    const parts = [];
    let ended = 0;
    recorder = new MediaRecorder(microphone);
    recorder.addEventListener("dataavailable", (event) => parts.push(event.data));
    recorder.addEventListener("start", () => {
      began = performance.now(); taken = []; turned();
      one("#record").setAttribute("aria-pressed", "true"); one("#record").textContent = "stop";
      one("#said").textContent = "Recording.";
    });
    recorder.addEventListener("stop", () => {
      ended = Math.round(performance.now() - began);
      microphone.getTracks().forEach((track) => track.stop());
      recorder = null;
      one("#record").setAttribute("aria-pressed", "false"); one("#record").textContent = "record";
      keep(parts, ended);
    });
    recorder.start();
  };
  one("#record").hidden = !(navigator.mediaDevices && window.MediaRecorder);

  const look = () => {
    const dark = document.documentElement.dataset.look !== "dark";
    document.documentElement.dataset.look = dark ? "dark" : "light";
    one("#look").setAttribute("aria-pressed", String(dark));
  };
  const full = () => { if (document.fullscreenElement) document.exitFullscreen(); else document.documentElement.requestFullscreen?.(); };
  const keys = {
    ArrowRight: next, ArrowDown: next, PageDown: next, ArrowLeft: back, ArrowUp: back, PageUp: back,
    Home: () => to(0), End: () => to(-1), a: another, p: takePen, w: wipe, n: openNotes, d: look, f: full,
  };
  const keyed = (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const onButton = event.target.closest?.("button");
    if (event.key === " " && !onButton) { event.preventDefault(); next(); return; }
    if (/^[1-9]$/.test(event.key)) { const row = all("#covers .cover")[event.key - 1]; if (row) row.click(); return; }
    const act = keys[event.key];
    if (act) { event.preventDefault(); act(); }
  };
  document.addEventListener("keydown", keyed);
  let from = null;
  const main = one("#board");
  main.addEventListener("touchstart", (event) => { from = event.changedTouches[0].clientX; }, { passive: true });
  main.addEventListener("touchend", (event) => {
    const far = event.changedTouches[0].clientX - from;
    if (Math.abs(far) > 50 && one("#pen").getAttribute("aria-pressed") !== "true") (far < 0 ? next : back)();
  }, { passive: true });
  const buttons = { next, back, another, pen: takePen, wipe, notes: openNotes, record, look, full };
  Object.entries(buttons).forEach(([id, act]) => one("#" + id).addEventListener("click", act));
  window.addEventListener("resize", wipe);
  show();
})();

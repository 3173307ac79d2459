// Follows the board, and sends a line again until it has arrived. A line sent twice is one line.
const PAUSES = [500, 1000, 2000, 4000];
const part = (id) => document.getElementById(id);

function listen() {
  const events = new EventSource(part("seat").dataset.events);
  events.addEventListener("board", (message) => {
    if (JSON.parse(message.data).state !== part("seat")?.dataset.state) location.reload();
  });
  events.addEventListener("closed", () => {
    events.close();
    location.assign("/room");
  });
  // The browser asks again by itself when a connection breaks, but never after an answer that is a refusal.
  events.addEventListener("error", () => {
    if (events.readyState === EventSource.CLOSED) setTimeout(listen, PAUSES[2]);
  });
}

async function send(to, body) {
  for (let tried = 0; ; tried += 1) {
    try {
      const answer = await fetch(to, { method: "POST", body, headers: { Accept: "application/json, text/html" } });
      if (![502, 503, 504].includes(answer.status)) return answer;
      throw new Error(answer.statusText); // the server or its database is away
    } catch {
      part("sent").textContent = "Not sent yet; trying again.";
      await new Promise((go) => setTimeout(go, PAUSES[Math.min(tried, PAUSES.length - 1)]));
    }
  }
}

async function submit(event) {
  event.preventDefault();
  const form = event.target;
  const answer = await send(form.action, new URLSearchParams(new FormData(form, event.submitter)));
  if (answer.ok && answer.headers.get("Content-Type").startsWith("application/json")) {
    show(form, await answer.json());
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  document.querySelector("main").replaceWith(page.querySelector("main"));
  attend();
}

function show(form, { sent, state }) {
  if (state !== part("seat").dataset.state) {
    location.reload();
    return;
  }
  const line = Object.assign(document.createElement("span"), { className: "bits", textContent: sent });
  part("sent").replaceChildren("Sent: ", line, ". You may change it.");
  for (const button of form.querySelectorAll("[name=letter]")) {
    button.setAttribute("aria-pressed", button.value === sent);
  }
}

// What is on the page now: a refusal brings another form.
function attend() {
  part("line-form")?.addEventListener("submit", submit);
  const [keys, line] = [part("keys"), part("line")];
  if (!keys) return;
  keys.hidden = false;
  keys.addEventListener("click", (event) => {
    const key = event.target.dataset.key;
    if (!key) return;
    line.value = key === "back" ? line.value.slice(0, -1) : line.value + key;
  });
}

listen();
attend();

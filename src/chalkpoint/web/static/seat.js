// Follows the board, and sends a line again until it has arrived. A line sent twice is one line.
const seat = document.getElementById("seat");
const form = document.getElementById("line-form");
const said = document.getElementById("sent");
const line = document.getElementById("line");
const keys = document.getElementById("keys");
const PAUSES = [500, 1000, 2000, 4000];

function listen() {
  const events = new EventSource(seat.dataset.events);
  events.addEventListener("board", (message) => {
    if (JSON.parse(message.data).state !== seat.dataset.state) location.reload();
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

listen();

async function send(body) {
  for (let tried = 0; ; tried += 1) {
    try {
      const answer = await fetch(form.action, { method: "POST", body, redirect: "follow" });
      if (![502, 503, 504].includes(answer.status)) return answer;
      throw new Error(answer.statusText); // the server or its database is away
    } catch {
      said.textContent = "Not sent yet; trying again.";
      await new Promise((go) => setTimeout(go, PAUSES[Math.min(tried, PAUSES.length - 1)]));
    }
  }
}

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const answer = await send(new URLSearchParams(new FormData(form, event.submitter)));
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const fresh = page.getElementById("seat");
  if (!fresh || !answer.ok || fresh.dataset.state !== seat.dataset.state) {
    document.querySelector("main").replaceWith(page.querySelector("main"));
    location.hash = "";
    if (fresh && answer.ok) location.reload();
  } else {
    said.innerHTML = page.getElementById("sent").innerHTML;
    for (const button of form.querySelectorAll("[name=letter]")) {
      const chosen = page.querySelector(`[name=letter][value="${button.value}"]`);
      button.setAttribute("aria-pressed", chosen?.getAttribute("aria-pressed") ?? "false");
    }
  }
});

if (keys && line) {
  keys.hidden = false;
  keys.addEventListener("click", (event) => {
    const key = event.target.dataset.key;
    if (!key) return;
    line.value = key === "back" ? line.value.slice(0, -1) : line.value + key;
  });
}

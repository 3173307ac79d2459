// Puts what changed of the tally in place as the server sends it; when the teacher's buttons must change, the page is loaded anew.
const tally = document.getElementById("tally");
const AGAIN = 2000;
let events;

// Whether the page may be changed in place: with other buttons it is loaded anew, and cards counted by hand stay.
function isOurs(state) {
  if (state !== tally.dataset.state) location.reload();
  return state === tally.dataset.state && !new URLSearchParams(location.search).has("letters");
}

// Puts the rows that are new or changed among those that stay, in their order.
function arrange(rows, order) {
  const body = tally.querySelector("tbody");
  const standing = new Map([...body.rows].map((row) => [row.dataset.line, row]));
  for (const [line, html] of Object.entries(rows)) {
    const made = document.createElement("template");
    made.innerHTML = html;
    standing.set(line, made.content.firstElementChild);
  }
  body.replaceChildren(...order.map((line) => standing.get(line)));
}

function listen() {
  events = new EventSource(tally.dataset.events);
  events.addEventListener("tally", (message) => {
    const { state, html } = JSON.parse(message.data);
    if (isOurs(state)) tally.innerHTML = html;
  });
  events.addEventListener("change", (message) => {
    const { state, says, rows, order } = JSON.parse(message.data);
    if (!isOurs(state)) return;
    tally.querySelector(".state").innerHTML = says;
    if (order.length) arrange(rows, order);
  });
  events.addEventListener("closed", () => {
    events.close();
    location.assign("/teach/rooms");
  });
  // The browser asks again by itself when a connection breaks, but never after an answer that is a refusal.
  events.addEventListener("error", () => {
    if (events.readyState === EventSource.CLOSED) setTimeout(listen, AGAIN);
  });
}

listen();
// A form that is sent brings the next page itself; a reload meanwhile would cross it.
document.addEventListener("submit", () => events.close());

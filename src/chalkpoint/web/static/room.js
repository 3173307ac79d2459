// Puts each tally in place as the server sends it; when the teacher's own buttons must change, the page is loaded anew.
const tally = document.getElementById("tally");
const AGAIN = 2000;
let events;

function listen() {
  events = new EventSource(tally.dataset.events);
  events.addEventListener("tally", (message) => {
    const { state, html } = JSON.parse(message.data);
    if (state !== tally.dataset.state) {
      location.reload();
    } else if (!new URLSearchParams(location.search).has("letters")) {
      tally.innerHTML = html;
    }
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

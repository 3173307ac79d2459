// Counts on the page of a job, as the server tells it; when the job is done, the same address leads to what it made.
const bar = document.getElementById("bar");
const count = document.getElementById("count");
const AGAIN = 2000;

function listen() {
  const events = new EventSource(bar.dataset.events);
  events.addEventListener("progress", (message) => {
    const { state, done, of } = JSON.parse(message.data);
    if (state !== "running") {
      events.close();
      location.reload();
    } else if (of) {
      bar.max = of;
      bar.value = done;
      count.textContent = `${done.toLocaleString("en")} of ${of.toLocaleString("en")}`;
    }
  });
  // The browser asks again by itself when a connection breaks, but never after an answer that is a refusal.
  events.addEventListener("error", () => {
    if (events.readyState === EventSource.CLOSED) setTimeout(listen, AGAIN);
  });
}

listen();

// Counts on the page of a job, as the server tells it; when the job is done, the same address leads to what it made.
const bar = document.getElementById("bar");
const count = document.getElementById("count");
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

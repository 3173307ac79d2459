// Puts each tally in place as the server sends it; when the teacher's own buttons must change, the page is loaded anew.
const tally = document.getElementById("tally");
const events = new EventSource(tally.dataset.events);
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

// Seeks a film, given as base64, to each of the seconds, and returns what a browser shows there, in grey, 240 by 135.
async ([data, seconds]) => {
  const film = document.createElement("video"), canvas = document.createElement("canvas");
  film.muted = true;
  film.src = URL.createObjectURL(new Blob([Uint8Array.from(atob(data), c => c.charCodeAt(0))], {type: "video/mp4"}));
  await new Promise((ready, failed) => { film.onloadeddata = ready; film.onerror = () => failed(film.error.message); });
  canvas.width = 240; canvas.height = 135;
  const pen = canvas.getContext("2d", {willReadFrequently: true}), shown = [];
  for (const second of seconds) {
    const presented = new Promise((ready) => film.requestVideoFrameCallback(ready));
    film.currentTime = second;
    await new Promise((ready) => { film.onseeked = ready; });
    await Promise.race([presented, new Promise((ready) => setTimeout(ready, 500))]);
    pen.drawImage(film, 0, 0, 240, 135);
    const points = pen.getImageData(0, 0, 240, 135).data, luma = [];
    for (let at = 0; at < points.length; at += 4)
      luma.push(Math.round(0.2126 * points[at] + 0.7152 * points[at + 1] + 0.0722 * points[at + 2]));
    shown.push(luma);
  }
  await film.play();
  await new Promise((ready) => setTimeout(ready, 400));
  return {shown, duration: film.duration, error: film.error, played: film.currentTime > seconds.at(-1)};
}

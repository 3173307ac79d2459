/* What is kept: the files of the app's folder, in this browser's IndexedDB, written whole after every change.

   One tab writes at a time. Where browsers have no locks (plain HTTP), tabs ask each other; and wherever they are, a
   tab that would write over what another tab has written is refused, so nothing is lost in silence. */
class OtherTab extends Error {}

const keeping = {
  database: null, refused: "", revision: 0, made: 0, carried: -1, steady: false,

  async open() {
    try {
      this.database = await new Promise((done, failed) => {
        const asked = indexedDB.open("chalkpoint", 1);
        asked.onupgradeneeded = () => asked.result.createObjectStore("files");
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => failed(asked.error);
        asked.onblocked = () => failed(new Error("another tab holds it"));
      });
      return await this.read();
    } catch (reason) {
      this.refused = reason?.message || String(reason);
      return {};
    }
  },

  async read() {
    const kept = {};
    await this.transact("readonly", (files) => {
      const cursor = files.openCursor();
      cursor.onsuccess = () => {
        const found = cursor.result;
        if (!found) return;
        kept[found.key] = found.value;
        found.continue();
      };
    });
    const { state = {}, ...files } = kept;
    Object.assign(this, { revision: 0, made: 0, carried: -1 }, state);
    return files;
  },

  async write(files, { made = false, carried = false } = {}) {
    if (made) this.made += 1;
    if (carried) this.carried = this.made;
    if (!this.database) return;
    const { made: count, carried: until } = this, next = this.revision + 1;
    await this.transact("readwrite", (kept, stop) => {
      const asked = kept.get("state");
      asked.onsuccess = () => {
        if ((asked.result?.revision ?? 0) !== this.revision) {
          stop(new OtherTab("another tab has saved something since"));
          return;
        }
        for (const [name, data] of Object.entries(files)) kept.put(data, name);
        kept.put({ revision: next, made: count, carried: until }, "state");
      };
    });
    this.revision = next;
    if (made && !this.steady) this.steady = await navigator.storage?.persist?.().catch(() => false) ?? false;
  },

  transact(mode, work) {
    return new Promise((done, failed) => {
      const all = this.database.transaction("files", mode, { durability: "strict" });
      let why = null;
      work(all.objectStore("files"), (reason) => { why = reason; all.abort(); });
      all.oncomplete = () => done();
      all.onabort = () => failed(why ?? all.error ?? new Error("it was not written"));
    });
  },
};

/* Resolves when this tab is the one that may write; `busy` is called while another is. */
async function theOnlyTab(busy) {
  if (navigator.locks) {
    const forever = new Promise(() => {});
    const got = await new Promise((done) => {
      navigator.locks.request("chalkpoint", { ifAvailable: true }, (lock) => { done(Boolean(lock)); return lock ? forever : null; })
        .catch(() => done(null));                            /* storage is refused, so nothing is shared either */
    });
    if (got !== false) return;
    busy();
    await new Promise((done) => navigator.locks.request("chalkpoint", () => { done(); return forever; }));
    return;
  }
  const channel = new BroadcastChannel("chalkpoint"), me = crypto.getRandomValues(new Uint32Array(2)).join("-");
  const others = () => new Promise((done) => {
    const heard = ({ data }) => { if (data.here && data.here !== me) done(true); };
    channel.addEventListener("message", heard);
    channel.postMessage({ who: me });
    setTimeout(() => { channel.removeEventListener("message", heard); done(false); }, 500);
  });
  if (await others()) {
    busy();
    while (await others()) await new Promise((done) => setTimeout(done, 1500));
  }
  channel.addEventListener("message", ({ data }) => { if (data.who && data.who !== me) channel.postMessage({ here: me }); });
}

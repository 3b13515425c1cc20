/* The list of deeds that wait in this browser until the shop answers: in IndexedDB, so that it outlives the page,
   shared by all tabs. What it holds: sending.js sends it, waiting-strip.js shows it. */
(function () {
  "use strict";
  const NAME = "hiltyard", DEEDS = "deeds", TURN = "turn";
  const TURN_HOLDS = 60000; // ms that a tab which died keeps the others from sending

  const answered = (request) => new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  let opened = null;
  const open = () => {
    if (opened) return opened;
    opened = new Promise((resolve, reject) => {
      const request = window.indexedDB.open(NAME, 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore(DEEDS, { keyPath: "id", autoIncrement: true });
        request.result.createObjectStore(TURN);
      };
      request.onsuccess = () => {
        request.result.onversionchange = request.result.onclose = () => {
          request.result.close();
          opened = null;
        };
        resolve(request.result);
      };
      request.onerror = () => reject(request.error);
    });
    opened.catch(() => { opened = null; });
    return opened;
  };
  // Durable: what a person was told is kept outlives a tablet that is switched off right then.
  const store = async (name, mode) => (await open()).transaction(name, mode, { durability: "strict" }).objectStore(name);
  const written = (of) => new Promise((resolve, reject) => {
    of.transaction.oncomplete = () => resolve();
    of.transaction.onabort = of.transaction.onerror = () => reject(of.transaction.error);
  });

  const others = window.BroadcastChannel ? new BroadcastChannel("hiltyard-waiting") : null;
  const watchers = [];
  const tell = () => watchers.forEach((watcher) => watcher());
  if (others) others.onmessage = tell;
  const changed = () => {
    if (others) others.postMessage("changed");
    tell();
  };

  const all = async () => answered((await store(DEEDS, "readonly")).getAll());
  const add = async (deed) => {
    const deeds = await store(DEEDS, "readwrite"), end = written(deeds);
    deeds.add(deed);
    await end;
    changed();
  };
  const change = async (id, facts) => {
    const deeds = await store(DEEDS, "readwrite"), end = written(deeds);
    const deed = await answered(deeds.get(id));
    if (deed) deeds.put({ ...deed, ...facts }); // it may have been thrown away meanwhile
    await end;
    changed();
  };
  const drop = async (id) => {
    const deeds = await store(DEEDS, "readwrite"), end = written(deeds);
    deeds.delete(id);
    await end;
    changed();
  };

  // One tab sends at a time: by a lock of the browser's own where it has one (HTTPS), else by a row that runs out.
  const here = crypto.getRandomValues(new Uint32Array(2)).join("-");
  const take = async () => {
    const turns = await store(TURN, "readwrite"), end = written(turns), now = Date.now();
    const held = await answered(turns.get("sends"));
    const free = !held || held.tab === here || held.until < now || held.until > now + TURN_HOLDS;
    if (free) turns.put({ tab: here, until: now + TURN_HOLDS }, "sends");
    await end;
    return free;
  };
  const give = async () => {
    const turns = await store(TURN, "readwrite"), end = written(turns);
    const held = await answered(turns.get("sends"));
    if (held && held.tab === here) turns.delete("sends");
    await end;
  };
  // Runs what sends, given a way to say "I still do"; does nothing while another tab sends.
  const inTurn = async (work) => {
    if (navigator.locks) return navigator.locks.request("hiltyard-sends", { ifAvailable: true }, (lock) => lock && work(async () => true));
    if (!(await take())) return null;
    try {
      return await work(take);
    } finally {
      await give();
    }
  };

  window.hiltyard = Object.assign(window.hiltyard || {}, {
    list: { all, add, change, drop, inTurn, watch: (watcher) => watchers.push(watcher) },
  });
})();

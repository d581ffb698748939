// Entries wait on this phone until the house has taken them: they are kept here first and sent in order, one at a time,
// each with an id of its own, so that sent twice is kept once. Works on plain http; every page works without it.
"use strict";

const waiting = (() => {
  const panel = document.getElementById("queue");
  if (!panel) return null;
  const words = panel.dataset;
  const counter = document.getElementById("queue-count"), offline = document.getElementById("offline");
  const pauses = [1, 2, 4, 8, 15, 30]; // seconds between tries
  const leaseFor = 15000;              // how long one tab alone sends
  const me = newID();
  let pausing = 0, timer = 0, pumping = false, inHand = null, ahead = 0, state = panel.dataset.by ? "" : "signed-out", why = "";

  function newID() {
    return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
  }

  // The shelf holds the entries: a database of the browser, or its simple storage where there is none.
  let shelf = null;
  function opened() {
    shelf ??= openDatabase().catch(() => simpleShelf);
    return shelf;
  }

  function openDatabase() {
    return new Promise((resolve, reject) => {
      const ask = indexedDB.open("canewright", 1);
      ask.onupgradeneeded = () => ask.result.createObjectStore("entries", { keyPath: "order", autoIncrement: true });
      ask.onerror = () => reject(ask.error);
      ask.onsuccess = () => {
        ask.result.onclose = () => { shelf = null; };
        resolve(databaseShelf(ask.result));
      };
    });
  }

  function databaseShelf(db) {
    const run = (mode, act) => new Promise((resolve, reject) => {
      const change = db.transaction("entries", mode, { durability: "strict" });
      const ask = act(change.objectStore("entries"));
      change.oncomplete = () => resolve(ask.result);
      change.onabort = change.onerror = () => reject(change.error || ask.error);
    });
    return {
      all: () => run("readonly", (s) => s.getAll()),
      add: (entry) => run("readwrite", (s) => s.add(entry)),
      put: (entry) => run("readwrite", (s) => s.put(entry)),
      remove: (order) => run("readwrite", (s) => s.delete(order)),
    };
  }

  const simpleShelf = {
    read: () => JSON.parse(localStorage.getItem("canewright.entries") || "[]"),
    write: (list) => localStorage.setItem("canewright.entries", JSON.stringify(list)),
    all: async () => simpleShelf.read(),
    add: async (entry) => {
      const list = simpleShelf.read();
      entry.order = 1 + list.reduce((most, e) => Math.max(most, e.order), 0);
      simpleShelf.write([...list, entry]);
      return entry.order;
    },
    put: async (entry) => simpleShelf.write(simpleShelf.read().map((e) => (e.order === entry.order ? entry : e))),
    remove: async (order) => simpleShelf.write(simpleShelf.read().filter((e) => e.order !== order)),
  };

  // A browser may close its database while the page sleeps: then it is opened once more.
  async function onShelf(act) {
    try {
      return await act(await opened());
    } catch (fault) {
      if (fault && fault.name !== "InvalidStateError" && fault.name !== "UnknownError") throw fault;
      shelf = null;
      return act(await opened());
    }
  }

  const all = () => onShelf((s) => s.all());

  // add keeps an entry and starts sending; it fails when the phone has no room.
  async function add(entry) {
    Object.assign(entry, { id: newID(), made: Date.now(), page: me, tick: performance.now(), by: words.by, name: words.name, ahead, state: "waiting" });
    entry.order = await onShelf((s) => s.add(entry));
    changed();
    lease(true);
    pump();
    return entry;
  }

  // again sends an entry that was changed, with the id and the time it was made with.
  async function again(entry) {
    Object.assign(entry, { state: "waiting", why: "", wrong: null, link: "" });
    await onShelf((s) => s.put(entry));
    changed();
    lease(true);
    pump();
  }

  async function leave(entry) {
    await onShelf((s) => s.put(Object.assign(entry, { state: "left", photo: null })));
    changed();
    pump();
  }

  async function clear(entry) {
    await onShelf((s) => s.remove(entry.order));
    changed();
  }

  // changed shows the entries here and in the browser's other tabs.
  function changed() {
    try { localStorage.setItem("canewright.changed", newID()); } catch { /* other tabs look when they are opened */ }
    return draw();
  }
  window.addEventListener("storage", (event) => { if (event.key === "canewright.changed") draw(); });

  // lease makes this tab the one that sends; without force only when no other tab does.
  function lease(force) {
    try {
      const held = JSON.parse(localStorage.getItem("canewright.sender") || "null"), now = Date.now();
      const free = !held || held.tab === me || held.until < now || held.until > now + 2 * leaseFor;
      if (force || free) localStorage.setItem("canewright.sender", JSON.stringify({ tab: me, until: now + leaseFor }));
      return force || free;
    } catch {
      return true; // doubles are harmless: the house knows the ids
    }
  }
  window.addEventListener("pagehide", () => {
    try {
      if (JSON.parse(localStorage.getItem("canewright.sender") || "null")?.tab === me) localStorage.removeItem("canewright.sender");
    } catch { /* it runs out by itself */ }
  });

  // pump sends what waits, oldest first, until nothing waits or something is in the way.
  async function pump() {
    clearTimeout(timer);
    if (pumping || state === "signed-out") return;
    pumping = true;
    try {
      while (await sendNext());
    } finally {
      pumping = false;
      inHand = null;
      await draw();
    }
  }

  async function sendNext() {
    const entry = (await all()).find((e) => e.state === "waiting");
    if (!entry) return false;
    if (!lease(false)) return later(5);
    inHand = entry.order;
    draw();
    const answer = await send(entry);
    inHand = null;
    return settle(entry, answer);
  }

  function later(seconds) {
    clearTimeout(timer);
    timer = setTimeout(pump, seconds * 1000);
    return false;
  }

  // sentAt is the phone's time of sending, on the clock of the tap: a clock set back in between counts no time away.
  function sentAt(entry) {
    const ticked = entry.page === me ? entry.made + performance.now() - entry.tick : entry.made;
    return Math.round(Math.max(Date.now(), ticked));
  }

  function bodyOf(entry) {
    const body = entry.photo ? new FormData() : new URLSearchParams();
    for (const [name, value] of entry.fields) body.append(name, value);
    for (const [name, value] of Object.entries({ submission: entry.id, made: entry.made, sent: sentAt(entry), by: entry.by })) body.set(name, value);
    if (entry.photo) body.append("photo", new Blob([bytesOf(entry.photo.base64)], { type: entry.photo.type }), entry.photo.name);
    return body;
  }

  function bytesOf(base64) {
    return Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
  }

  async function send(entry) {
    const stop = new AbortController();
    const patience = setTimeout(() => stop.abort(), entry.photo ? 180000 : 20000);
    try {
      const answer = await fetch(entry.url, { method: "POST", body: bodyOf(entry), headers: { Accept: "application/json" }, signal: stop.signal });
      const said = /json/.test(answer.headers.get("Content-Type") || "") ? await answer.json() : {};
      return { status: answer.status, said, url: answer.redirected ? new URL(answer.url).pathname : "" };
    } catch {
      return { status: 0, said: {} };
    } finally {
      clearTimeout(patience);
    }
  }

  // wasKept: the house gave a record; taking back leads to the record's page, or was done before.
  function wasKept(entry, { status, said, url }) {
    if (entry.strikes) return url === entry.strikes || status === 409;
    return status === 200 && Boolean(said.kept);
  }

  // settle does what the house's answer asks, and tells whether the next entry may be sent.
  async function settle(entry, answer) {
    const { status, said } = answer;
    if (wasKept(entry, answer)) {
      await onShelf((s) => s.remove(entry.order));
      pausing = 0;
      stand("", "");
      tell("kept", entry, said);
      changed();
      return true;
    }
    if (status === 401) { stand("signed-out", said.said || ""); return false; }
    if (status === 403) { stand("refused", said.said || words.refused.replace("{status}", status)); return later(30); }
    if (status >= 400 && status < 500 && status !== 408 && status !== 425 && status !== 429) {
      await setAside(entry, status, said);
      return true;
    }
    stand("offline", "");
    return later(pauses[Math.min(pausing++, pauses.length - 1)]);
  }

  // setAside keeps an entry the house refused, with the house's words, for the person to change or leave out.
  async function setAside(entry, status, said) {
    entry.state = "wrong";
    entry.wrong = said.wrong || null;
    entry.link = said.link || "";
    entry.why = said.clash || (said.wrong || []).map((w) => (w.label ? w.label + ": " : "") + w.message).join(" ") || said.said || words.refused.replace("{status}", status);
    await onShelf((s) => s.put(entry));
    stand("", "");
    tell("wrong", entry, said);
    changed();
  }

  function tell(what, entry, said) {
    document.dispatchEvent(new CustomEvent("waiting", { detail: { what, entry, said } }));
  }

  // stand keeps what is in the way: "", offline, signed-out, refused.
  function stand(now, said) {
    state = now;
    why = said;
  }

  // reach is told by whoever talked with the house, or could not.
  function reach(now) {
    if (now === "signed-out" || now === "offline" || state === "offline" || now === "" && state === "signed-out" && words.by) stand(now, "");
    if (now === "") { pausing = 0; pump(); }
    draw();
  }

  // drawing

  function make(tag, props, ...inside) {
    const e = Object.assign(document.createElement(tag), props);
    e.append(...inside.filter((x) => x !== null && x !== ""));
    return e;
  }

  function clock(ms) {
    const form = { hour: "numeric", minute: "2-digit" };
    try {
      return new Date(ms).toLocaleTimeString("en-US", { ...form, timeZone: words.zone }).toLowerCase(); // as the house writes it, in both languages
    } catch {
      return new Date(ms).toLocaleTimeString("en-US", form).toLowerCase();
    }
  }

  function standing(entry) {
    if (entry.state === "wrong") return words.wrong + " " + entry.why;
    if (entry.state === "left") return words.left;
    return entry.order === inHand ? words.sending : words.waiting;
  }

  // row is one entry as a line of the log: when it was made, what, who, and how it stands.
  function row(entry) {
    const li = make("li", { className: "log-line queue-line " + entry.state });
    li.dataset.order = entry.order;
    li.append(
      make("p", { className: "log-when" }, make("span", { className: "log-clock", textContent: clock(entry.made + entry.ahead) })),
      make("div", { className: "log-what" },
        make("p", { className: "log-main" }, make("strong", { textContent: entry.title }), entry.said ? make("span", { className: "log-figure", textContent: entry.said }) : ""),
        entry.note ? make("p", { className: "log-note", textContent: entry.note }) : "",
        make("p", { className: "log-small" }, [entry.where, entry.name].filter(Boolean).join(" · ")),
        make("p", { className: "queue-standing", textContent: standing(entry) }),
        acts(entry)));
    return li;
  }

  function acts(entry) {
    const bar = make("p", { className: "queue-acts" });
    const button = (word, act) => make("button", { type: "button", className: "quiet", textContent: word, onclick: act });
    const leaving = button(words.leave, () => leaving.replaceWith(button(words.leaveSure, () => leave(entry))));
    if (entry.state === "left") bar.append(button(words.clear, () => clear(entry)));
    if (entry.state === "wrong") {
      if (entry.form) bar.append(button(words.mend, () => mend(entry)));
      if (entry.link) bar.append(make("a", { href: entry.link, textContent: words.see }));
    }
    if (entry.state === "wrong" || entry.state === "waiting" && entry.order !== inHand) bar.append(leaving);
    return bar;
  }

  // mend hands an entry back to the form it came from, on its own page.
  function mend(entry) {
    panel.hidden = true;
    const here = new CustomEvent("mend", { detail: entry, cancelable: true });
    if (document.dispatchEvent(here)) location.href = entry.form + "#mend-" + entry.order;
  }

  let drawn = "";
  async function draw() {
    const entries = await all().catch(() => []);
    const open = entries.filter((e) => e.state === "waiting").length, wrong = entries.filter((e) => e.state === "wrong").length;
    count(open, wrong, entries.length);
    sayState(open);
    const now = JSON.stringify([entries.map((e) => [e.order, e.state, e.why]), inHand, panel.hidden]);
    if (now === drawn) return;
    drawn = now;
    document.getElementById("queue-rows").replaceChildren(...entries.map(row));
    const here = document.getElementById("waiting-rows");
    here?.replaceChildren(...entries.filter((e) => e.run === document.getElementById("kettle").dataset.run && e.state !== "left").map(row).reverse());
  }

  function count(open, wrong, entries) {
    const said = [];
    if (open) said.push(words.count.replace("{n}", open));
    if (wrong) said.push(words.notKept.replace("{n}", wrong));
    if (!open && !wrong && entries) said.push(words.notKept.replace("{n}", entries));
    counter.replaceChildren(...said.map((s) => make("span", { textContent: s })));
    counter.hidden = !entries;
    counter.classList.toggle("stuck", wrong > 0);
    document.documentElement.dataset.waiting = open;
    document.documentElement.dataset.notKept = wrong;
  }

  function sayState(open) {
    const line = document.getElementById("queue-state");
    const out = state === "signed-out" && (open > 0 || Boolean(words.by));
    line.hidden = !out && !why;
    line.replaceChildren(...(out ? signInWords() : [why]));
    offline.hidden = state !== "offline" && !(out && words.by);
    offline.replaceChildren(...(out ? signInWords() : [words.offline]));
  }

  function signInWords() {
    const link = make("a", { href: "/login?next=" + encodeURIComponent(location.pathname), textContent: words.signIn });
    return location.pathname === "/login" ? [words.signIn + "."] : [words.signedOut + " ", link];
  }

  counter.addEventListener("click", (event) => {
    event.preventDefault();
    panel.hidden = !panel.hidden;
    if (!panel.hidden) panel.scrollIntoView({ block: "nearest" });
    draw();
  });
  document.getElementById("queue-close").addEventListener("click", () => { panel.hidden = true; });
  window.addEventListener("online", () => { pausing = 0; pump(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { pausing = 0; pump(); } });
  window.addEventListener("pageshow", () => { draw(); pump(); });
  setInterval(() => { if (!document.hidden) pump(); }, 30000);

  const setAhead = (ms) => { ahead = ms; }; // of the house's clock before the phone's: times are shown on the house's
  return { setAhead, add, again, all, clear, leave, pump, reach, clock, make, newID };
})();

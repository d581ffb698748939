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
  let pausing = 0, timer = 0, pumping = false, called = false, inHand = null, state = panel.dataset.by ? "" : "signed-out", why = "";
  const stumbled = new Map();          // entries the house failed over, and when they are tried again: those behind go on

  function newID() {
    return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
  }

  // The house's clock, as far as this page was told it.
  let ahead = 0, toldAt = 0; // of the house's clock before the phone's; the phone's clock less what ran since the page began, then
  const drift = () => Date.now() - performance.now();
  const setAhead = (ms) => { ahead = ms; toldAt = drift(); };
  const steady = () => Math.abs(drift() - toldAt) < 5000; // not set since, nor asleep
  setAhead(Number(words.now) - Date.now());

  // The shelf holds the entries: a database of the browser, or its simple storage where that is refused or never answers.
  let shelf = null;
  function opened() {
    shelf ??= new Promise((resolve) => {
      setTimeout(resolve, 3000, simpleShelf);
      openDatabase().then(async (database) => {
        await moved(database);
        shelf = Promise.resolve(database);
        resolve(database);
        draw();
        pump();
      }).catch(() => resolve(simpleShelf));
    });
    return shelf;
  }

  // moved brings into the database what was kept in the simple storage while there was none.
  async function moved(database) {
    for (const { order, ...entry } of simpleShelf.read()) {
      await database.add(entry);
      await simpleShelf.remove({ order, id: entry.id });
    }
  }

  function openDatabase() {
    return new Promise((resolve, reject) => {
      const ask = indexedDB.open("canewright", 1);
      ask.onupgradeneeded = () => ask.result.createObjectStore("entries", { keyPath: "order", autoIncrement: true });
      ask.onerror = () => reject(ask.error);
      ask.onsuccess = () => {
        ask.result.onclose = () => { shelf = null; };
        ask.result.onversionchange = () => ask.result.close(); // a newer page needs it otherwise
        resolve(databaseShelf(ask.result));
      };
    });
  }

  function databaseShelf(db) {
    const run = (mode, act, durability = "relaxed") => new Promise((resolve, reject) => {
      const change = db.transaction("entries", mode, { durability });
      const ask = act(change.objectStore("entries"));
      change.oncomplete = () => resolve(ask.result);
      change.onabort = change.onerror = () => reject(change.error || ask.error);
    });
    // One step for looking and writing: another tab may have been faster.
    const found = (entry, act) => run("readwrite", (s) => {
      const ask = s.get(entry.order);
      ask.onsuccess = () => { if (ask.result?.id === entry.id) act(ask.result, s); };
      return ask;
    });
    return {
      all: () => run("readonly", (s) => s.getAll()),
      add: (entry) => run("readwrite", (s) => s.add(entry), "strict"), // on disk before the page says so; the rest may be done twice
      change: (entry, act) => found(entry, (kept, s) => { if (act(kept)) s.put(kept); }),
      remove: (entry) => found(entry, (kept, s) => s.delete(kept.order)),
    };
  }

  const simpleShelf = {
    read: () => { try { return JSON.parse(localStorage.getItem("canewright.entries") || "[]"); } catch { return []; } },
    write: (list) => localStorage.setItem("canewright.entries", JSON.stringify(list)),
    all: async () => simpleShelf.read(),
    add: async (entry) => {
      const list = simpleShelf.read(), order = 1 + list.reduce((most, e) => Math.max(most, e.order), 0);
      simpleShelf.write([...list, { ...entry, order }]);
      return order;
    },
    change: async (entry, act) => {
      const list = simpleShelf.read(), kept = list.find((e) => e.order === entry.order && e.id === entry.id);
      if (kept && act(kept)) simpleShelf.write(list);
    },
    remove: async (entry) => simpleShelf.write(simpleShelf.read().filter((e) => e.order !== entry.order || e.id !== entry.id)),
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

  // change alters an entry on the shelf and gives it as it stands then; nothing when it is gone, or act would not have it.
  async function change(entry, act) {
    let now = null;
    await onShelf((s) => s.change(entry, (kept) => (now = act(kept))));
    return now || null;
  }

  // add keeps an entry and starts sending; it fails when the phone has no room.
  async function add(entry) {
    Object.assign(entry, { id: newID(), made: Date.now(), page: me, tick: performance.now(), by: words.by, name: words.name, ahead, steady: steady(), state: "waiting" });
    await shelve(entry);
    return entry;
  }

  // again sends an entry that was changed, with the id and the time it was made with.
  async function again(entry) {
    Object.assign(entry, { state: "waiting", why: "", wrong: null, link: "" });
    if (await change(entry, (kept) => Object.assign(kept, entry))) goes();
    else await shelve(entry); // cleared by another tab meanwhile
    return entry;
  }

  async function shelve(entry) {
    delete entry.order;
    entry.order = await onShelf((s) => s.add(entry));
    goes();
  }

  function goes() {
    changed();
    lease(true);
    pump();
  }

  async function leave(entry) {
    await change(entry, (kept) => Object.assign(kept, { state: "left", photo: null }));
    changed();
    pump();
  }

  // withdraw takes away what was never sent. What was sent may be in the log, whether or not its answer came.
  async function withdraw(entry) {
    if (!await change(entry, (kept) => !kept.tried && Object.assign(kept, { state: "left" }))) return false;
    await clear(entry);
    return true;
  }

  async function clear(entry) {
    await onShelf((s) => s.remove(entry));
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
    called = true; // what was added while the last look was under way is looked for once more
    if (pumping || state === "signed-out") return;
    pumping = true;
    try {
      while (called) {
        called = false;
        while (await sendNext());
      }
    } finally {
      pumping = false;
      inHand = null;
      await draw();
    }
  }

  async function sendNext() {
    const waits = (await all()).filter((e) => e.state === "waiting");
    const next = waits.find((e) => !(stumbled.get(e.id) > performance.now()));
    if (!next) return waits.length > 0 && later(5);
    if (!lease(false)) return later(5);
    const entry = await change(next, (kept) => kept.state === "waiting" && Object.assign(kept, { tried: true })).catch(() => next); // on a full phone it goes all the same
    if (!entry) return true; // another tab was faster
    inHand = entry.id;
    draw();
    const answer = steady() || await askTime() ? await send(entry) : { status: 0, said: {} }; // without the house's clock its time would be a guess
    inHand = null;
    return settle(entry, answer);
  }

  function later(seconds) {
    clearTimeout(timer);
    timer = setTimeout(pump, seconds * 1000);
    return false;
  }

  // askTime asks the house how late it is, after the phone slept or its clock was set, and tells whether it said so.
  async function askTime() {
    const answer = await reached("/health", {}, 20000).catch(() => null), now = Number(answer?.headers.get("X-House-Now"));
    if (now) setAhead(now - Date.now());
    return Boolean(now);
  }

  // sentAt is the moment of sending on the clock of the tap. A phone's clock that was set in between shows by the house's;
  // where that is not known, one set back still shows by what ran since the tap. The house asks about what makes no sense.
  function sentAt(entry) {
    const set = entry.steady && steady() ? ahead - entry.ahead : 0;
    const now = Date.now() + (Math.abs(set) > 60000 ? set : 0); // less is the network's delay
    return Math.round(entry.page === me ? Math.max(now, entry.made + performance.now() - entry.tick) : now);
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
    const patience = entry.photo ? 180000 : 20000 * 2 ** Math.min(pausing, 3); // a slow network gets longer
    try {
      const answer = await reached(entry.url, { method: "POST", body: bodyOf(entry), headers: { Accept: "application/json" } }, patience);
      return { status: answer.status, said: /json/.test(answer.headers.get("Content-Type") || "") ? await answer.json() ?? {} : {} };
    } catch {
      return { status: 0, said: {} };
    }
  }

  // reached asks the house, and gives up after some milliseconds.
  function reached(url, asked, patience) {
    const stop = new AbortController();
    setTimeout(() => stop.abort(), patience); // also of an answer that breaks off in the middle
    return fetch(url, { ...asked, signal: stop.signal });
  }

  // settle does what the house's answer asks, and tells whether the next entry may be sent. What does not speak as the house
  // does is something on the way to it, as a hotel's sign-in page: that keeps nothing and refuses nothing.
  async function settle(entry, { status, said }) {
    const house = Boolean(said.kept || said.said || said.clash);
    if (status === 200 && said.kept) return kept(entry, said);
    if (house && status === 401) { stand("signed-out", said.said); return false; }
    if (house && status === 403) { stand("refused", said.said); return later(30); }
    if (house && status === 500) { // of this one entry, perhaps
      stumbled.set(entry.id, performance.now() + 15000);
      stand("refused", said.said);
      return true;
    }
    if (house && status >= 400 && status < 500 && status !== 429 || status === 413) { // too large for whatever is on the way
      await setAside(entry, status, said);
      return true;
    }
    stand(house ? "refused" : "offline", said.said || "");
    return later(pauses[Math.min(pausing++, pauses.length - 1)]);
  }

  async function kept(entry, said) {
    await onShelf((s) => s.remove(entry));
    pausing = 0;
    stand("", "");
    tell("kept", entry, said);
    changed();
    return true;
  }

  // setAside keeps an entry the house refused, with the house's words, for the person to change or leave out.
  async function setAside(entry, status, said) {
    const faults = (said.wrong || []).map((w) => (w.label ? w.label + ": " : "") + w.message).join(" ");
    const changes = { state: "wrong", wrong: said.wrong || null, link: said.link || "", why: said.clash || faults || said.said || words.refused.replace("{status}", status) };
    stand("", "");
    if (await change(entry, (kept) => kept.state === "waiting" && Object.assign(kept, changes))) tell("wrong", Object.assign(entry, changes), said);
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

  // local writes a moment by the house's clock; a phone that does not know its zone has its own.
  function local(ms, language, form) {
    try {
      return new Date(ms).toLocaleString(language, { ...form, timeZone: words.zone });
    } catch {
      return new Date(ms).toLocaleString(language, form);
    }
  }

  const clock = (ms) => local(ms, "en-US", { hour: "numeric", minute: "2-digit" }).toLowerCase(); // as the house writes it, in both languages

  // whenMade is the time of an entry, with its day when that is not today.
  function whenMade(entry) {
    const day = (ms) => local(ms, words.language, { weekday: "short", day: "numeric", month: "short" });
    const made = entry.made + entry.ahead, date = day(made);
    return (date === day(Date.now() + ahead) ? "" : date + ", ") + clock(made);
  }

  function standing(entry) {
    if (entry.state === "wrong") return words.wrong + " " + entry.why;
    if (entry.state === "left") return entry.tried && !entry.why ? words.leftSent : words.left;
    return entry.id === inHand ? words.sending : words.waiting;
  }

  // row is one entry as a line of the log: when it was made, what, who, and how it stands.
  function row(entry) {
    const li = make("li", { className: "log-line queue-line " + entry.state });
    li.dataset.key = keyOf(entry);
    li.append(
      make("p", { className: "log-when" }, make("span", { className: "log-clock", textContent: whenMade(entry) })),
      make("div", { className: "log-what" },
        make("p", { className: "log-main" }, make("strong", { textContent: entry.title }), entry.said ? make("span", { className: "log-figure", textContent: entry.said }) : ""),
        entry.note ? make("p", { className: "log-note", textContent: entry.note }) : "",
        make("p", { className: "log-small" }, [entry.where, entry.name].filter(Boolean).join(" · ")),
        make("p", { className: "queue-standing" }),
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
    if (entry.state !== "left") bar.append(leaving);
    return bar;
  }

  // mend hands an entry back to the form it came from, on its own page.
  function mend(entry) {
    look(false);
    const here = new CustomEvent("mend", { detail: entry, cancelable: true });
    if (document.dispatchEvent(here)) location.href = entry.form + "#mend-" + entry.order;
  }

  async function draw() {
    const entries = await all().catch(() => []);
    const open = entries.filter((e) => e.state === "waiting").length, wrong = entries.filter((e) => e.state === "wrong").length;
    count(open, wrong, entries.length);
    sayState(open);
    list(document.getElementById("queue-rows"), entries);
    const here = document.getElementById("waiting-rows"), run = document.getElementById("kettle")?.dataset.run;
    if (here) list(here, entries.filter((e) => e.run === run && e.state !== "left").reverse());
  }

  const keyOf = (entry) => JSON.stringify([entry.id, entry.order, entry.state, entry.title, entry.said, entry.note, entry.why]);

  // list shows entries as rows. A row that is there already stays, with the finger or the focus that is on it.
  function list(ol, entries) {
    const there = new Map([...ol.children].map((li) => [li.dataset.key, li]));
    const rows = entries.map((e) => there.get(keyOf(e)) ?? row(e));
    for (const li of [...ol.children]) if (!rows.includes(li)) li.remove();
    rows.forEach((li, i) => {
      if (ol.children[i] !== li) ol.insertBefore(li, ol.children[i] ?? null);
      const line = li.querySelector(".queue-standing"), said = standing(entries[i]);
      if (line.textContent !== said) line.textContent = said;
    });
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

  // sayState says what is in the way. Only a page whose forms wait on the phone may promise that they do.
  function sayState(open) {
    const line = document.getElementById("queue-state");
    const out = state === "signed-out" && (open > 0 || Boolean(words.by)), none = state === "offline";
    const said = out ? signInWords() : [why || none && words.offline + (document.getElementById("write") ? " " + words.offlineKeeps : "")];
    line.hidden = !out && !why;
    offline.hidden = !none && !(out && words.by) && !(why && open);
    for (const e of [line, offline]) if (!e.hidden && e.textContent !== said.map((x) => x.textContent ?? x).join("")) e.replaceChildren(...said.map((x) => x.cloneNode?.(true) ?? x));
  }

  function signInWords() {
    const link = make("a", { href: "/login?next=" + encodeURIComponent(location.pathname), textContent: words.signIn });
    return location.pathname === "/login" ? [words.signIn + "."] : [words.signedOut + " ", link];
  }

  // look opens the list of what waits.
  function look(open = true) {
    panel.hidden = !open;
    counter.setAttribute("aria-expanded", String(open));
    if (open) panel.scrollIntoView({ block: "nearest" });
  }

  counter.addEventListener("click", (event) => {
    event.preventDefault();
    look(panel.hidden);
  });
  counter.addEventListener("keydown", (event) => { if (event.key === " ") { event.preventDefault(); counter.click(); } });
  document.getElementById("queue-close").addEventListener("click", () => { look(false); counter.focus(); });
  window.addEventListener("online", () => { pausing = 0; pump(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { pausing = 0; pump(); } });
  window.addEventListener("pageshow", () => { draw(); pump(); });
  setInterval(() => { if (!document.hidden) pump(); }, 30000);

  return { setAhead, add, again, all, withdraw, look, reach, clock, make };
})();

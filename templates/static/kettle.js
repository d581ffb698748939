// The kettle's pages in a browser: a clock that runs, what others write shown at once, one tap to write, a number pad for
// wet thumbs. Every page works without this file, slower.
"use strict";

(() => {
  const root = document.getElementById("kettle");
  if (!root) return;
  const $ = (selector, inside = document) => inside.querySelector(selector);
  const $$ = (selector, inside = document) => [...inside.querySelectorAll(selector)];
  const write = $("#write"), bar = $("#said"), words = bar?.dataset ?? {};

  // The clock: the house's, not the phone's.

  let ahead = 0; // of the house's clock before the phone's, in ms
  const mark = () => $("#live").dataset;
  const setClock = (house) => {
    ahead = Number(house) - Date.now();
    waiting?.setAhead(ahead);
  };
  setClock(mark().now);

  function tick() {
    if (!mark().lit) return;
    const seconds = Math.max(0, Math.floor((Date.now() + ahead - Number(mark().lit)) / 1000));
    const two = (n) => String(n).padStart(2, "0");
    for (const e of $$("[data-clock]")) e.textContent = `${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
    for (const e of $$("[data-minutes]")) e.textContent = Math.floor(seconds / 60);
  }
  setInterval(tick, 1000);
  tick();

  // The live part: fetched when something was written, put in place without moving the page under a thumb.

  let fetching = false, missed = false, fetchedAt = performance.now();

  async function refresh() {
    if (fetching) { missed = true; return; }
    fetching = true;
    try {
      do {
        missed = false;
        await fetchLive();
      } while (missed);
      waiting?.reach("");
      if (!stream && !streamAgain && !document.hidden) watch();
    } catch (fault) {
      waiting?.reach(fault.signedOut ? "signed-out" : "offline");
      if (stream) watchLater(); // over a dead connection it would look open for long
    } finally {
      fetching = false;
      fetchedAt = performance.now();
    }
  }

  async function fetchLive() {
    const stop = new AbortController(), patience = setTimeout(() => stop.abort(), 15000);
    try {
      const answer = await fetch(root.dataset.live, { headers: { Accept: "text/html" }, signal: stop.signal });
      if (answer.redirected || answer.status === 401) throw Object.assign(new Error("signed out"), { signedOut: true });
      if (!answer.ok) throw new Error(`status ${answer.status}`);
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("live");
      if (!fresh) throw new Error("this is not the house's page");
      place(fresh);
    } finally {
      clearTimeout(patience);
    }
  }

  function place(fresh) {
    const anchor = $("details.quick[open]") || document.elementsFromPoint(20, innerHeight / 2).find((e) => root.contains(e) && e !== root);
    const before = anchor?.getBoundingClientRect().top;
    const focused = document.activeElement?.closest?.("[data-part]") ? document.activeElement.getAttribute("href") : null;
    for (const part of $$("[data-part]", fresh)) {
      const old = $(`[data-part="${CSS.escape(part.dataset.part)}"]`, root);
      if (old && !sameAs(old, part)) old.replaceWith(document.adoptNode(part));
    }
    Object.assign(mark(), { ...fresh.dataset });
    setClock(fresh.dataset.now);
    stands();
    tick();
    if (focused) $(`[data-part] a[href="${CSS.escape(focused)}"]`, root)?.focus({ preventScroll: true });
    const after = anchor?.isConnected ? anchor.getBoundingClientRect().top : before;
    if (after !== before) scrollBy({ top: after - before, behavior: "instant" });
  }

  // sameAs compares two parts but for their running clocks.
  function sameAs(old, part) {
    const still = (e) => {
      const copy = e.cloneNode(true);
      for (const c of $$("[data-clock], [data-minutes]", copy)) c.textContent = "";
      return copy.innerHTML;
    };
    return still(old) === still(part);
  }

  // stands fits the buttons to how the run stands: its fire lit or out, drawn off.
  function stands() {
    if (!write) return;
    const { open, fire } = mark();
    const out = $('[data-key="fire-out"]', write), relit = $('[data-key="relit"]', write);
    if (open && out && relit) { out.hidden = fire === "out"; relit.hidden = fire !== "out"; }
    const ended = $("#ended");
    if (ended) ended.hidden = Boolean(open);
  }

  let stream = null, streamPause = 1, streamAgain = 0;

  function watch() {
    if (!window.EventSource || stream) return;
    clearTimeout(streamAgain);
    streamAgain = 0;
    stream = new EventSource(root.dataset.stream);
    stream.addEventListener("hello", (event) => { streamPause = 1; setClock(JSON.parse(event.data).now); refresh(); });
    stream.addEventListener("kettle", refresh);
    stream.addEventListener("gone", () => { unwatch(); waiting?.reach("signed-out"); });
    stream.addEventListener("error", () => {
      if (stream?.readyState === EventSource.CLOSED) watchLater();
    });
  }

  function watchLater() {
    unwatch();
    clearTimeout(streamAgain);
    streamAgain = setTimeout(watch, (streamPause = Math.min(30, 2 * streamPause)) * 1000);
  }

  function unwatch() {
    stream?.close();
    stream = null;
  }

  // Without the stream the page asks by itself; with it once a minute, for what depends on the clock.
  setInterval(() => {
    if (document.hidden) return;
    const listening = stream?.readyState === EventSource.OPEN;
    if (performance.now() - fetchedAt > (listening ? 60000 : 4000)) refresh();
  }, 1000);
  let hiding = 0;
  document.addEventListener("visibilitychange", () => {
    clearTimeout(hiding);
    if (document.hidden) { hiding = setTimeout(unwatch, 60000); return; } // a browser opens few streams at once
    watch();
    refresh();
    stayAwake();
  });
  window.addEventListener("online", () => { unwatch(); watch(); refresh(); });
  window.addEventListener("pageshow", (event) => { if (event.persisted) { watch(); refresh(); } });
  watch();

  // The screen stays awake where the browser can; elsewhere nothing is said.
  function stayAwake() {
    if (write && mark().open && !document.hidden) navigator.wakeLock?.request("screen").catch(() => {});
  }
  stayAwake();

  if (!write || !waiting) return;
  const make = waiting.make;

  // Writing: every form of the page is kept on the phone first.

  const resting = new Map(); // form to the moment from which it takes a tap again
  let quietUntil = 0;        // a second tap of a thumb must not land on what moved under it
  let mending = null;

  document.addEventListener("click", (event) => {
    if (event.isTrusted && performance.now() < quietUntil && event.target.closest("#write, #pad")) { event.preventDefault(); event.stopImmediatePropagation(); return; }
    const summary = event.target.closest("#write .quick > summary");
    if (summary && event.isTrusted) quietUntil = performance.now() + 250; // the pad comes up under the thumb
  }, true);

  document.addEventListener("submit", (event) => {
    if (!event.target.closest("#write")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    keep(event.target);
  }, true);

  async function keep(form) {
    const now = performance.now();
    if ((resting.get(form) || 0) > now || !sure(form) || missing(form)) return;
    resting.set(form, Infinity); // a slow phone takes its time over a picture: a second tap is no second entry
    form.setAttribute("aria-busy", "true");
    quietUntil = now + 500;
    closePad();
    try {
      const taken = await taking(form);
      const entry = mended(form) ? await waiting.again(Object.assign(mending, taken)) : await waiting.add(taken);
      resting.set(form, performance.now() + 1000);
      stopMending();
      emptied(form);
      latest = entry;
      say(entry, words.waits, takeBackButton(async () => { if (await waiting.withdraw(entry)) hush(); else say(entry, words.onItsWay); }));
    } catch {
      resting.delete(form);
      noRoom(make("button", { type: "button", className: "plain", textContent: words.sendNow, onclick: () => HTMLFormElement.prototype.submit.call(form) }));
    } finally {
      form.removeAttribute("aria-busy");
    }
  }

  // noRoom says that the phone could not keep an entry; the form can still go as without this file.
  function noRoom(...more) {
    clearTimeout(hushing);
    bar.replaceChildren(make("p", { className: "said-line", textContent: document.getElementById("queue").dataset.noRoom }), ...more);
    bar.hidden = false;
  }

  // sure asks once more before what ends the run.
  function sure(form) {
    const once = $("details.sure", form);
    if (!once || once.open) return true;
    once.open = true;
    closePad();
    once.scrollIntoView({ block: "center" });
    return false;
  }

  // missing marks what has to be filled in and is blank.
  function missing(form) {
    for (const e of $$(".error[data-here]", form)) e.remove();
    const photo = mended(form)?.photo;
    const blank = $$("[aria-required]", form).filter((e) => !e.value.trim() && !(photo && e.type === "file"));
    const groups = $$("fieldset.field:not(.when)", form).filter((g) => !$(".optional", g) && !$(":checked", g) && $("input[type=radio]", g));
    const none = [...blank.map((e) => e.closest(".field")), ...groups];
    for (const field of none) wrongAt(field, words.required);
    show(none[0]);
    return none.length > 0;
  }

  function wrongAt(field, message) {
    const said = make("p", { className: "error", textContent: message });
    said.dataset.here = "";
    field.append(said);
  }

  function show(field) {
    if (!field) return;
    for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
    field.scrollIntoView({ block: "center" });
  }

  async function taking(form) {
    const fields = [...new FormData(form)].filter(([name, value]) => typeof value === "string" && name !== "submission");
    const file = $("input[type=file]", form)?.files[0];
    const note = form.elements.namedItem("note")?.value || "";
    const who = form.elements.namedItem("done_by");
    const where = $("h1").innerText.replace(/\s+/g, " ");
    const entry = { url: new URL(form.action).pathname, form: location.pathname, action: form.id, run: root.dataset.run, where, fields, note,
      title: form.dataset.title + ago(form), said: figures(form), photo: file ? await shrunk(file) : mended(form)?.photo ?? null }; // a browser puts no file back into a form
    if (who?.value) entry.where += " · " + who.selectedOptions[0].text;
    return entry;
  }

  // ago says a time that is not now.
  function ago(form) {
    const at = form.elements.namedItem("at")?.value, minutes = $("[name=ago]:checked", form);
    if (at) return ", " + at.slice(11, 16);
    return minutes && minutes.value !== "0" ? `, ${minutes.value} ${$(".ago-word", form).textContent}` : "";
  }

  // figures are the numbers typed, with their units.
  function figures(form) {
    return $$(".quantity input, .number input", form).filter((e) => e.value.trim()).map((e) => {
      const unit = $("select", e.parentElement)?.selectedOptions[0]?.text || $(".unit", e.parentElement)?.textContent || "";
      return `${e.value.trim()} ${unit}`.trim();
    }).join(" · ");
  }

  // shrunk makes a phone's picture small enough for a bad signal; what the browser cannot read goes as it is.
  async function shrunk(file) {
    let bytes = file, name = file.name;
    try {
      const picture = await createImageBitmap(file);
      const scale = Math.min(1, 1600 / Math.max(picture.width, picture.height));
      const canvas = make("canvas", { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      const small = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.85));
      if (small && small.size < file.size) { bytes = small; name = name.replace(/\.\w+$/, "") + ".jpg"; }
    } catch { /* as it is */ }
    const data = new Uint8Array(await bytes.arrayBuffer());
    let text = "";
    for (let i = 0; i < data.length; i += 0x8000) text += String.fromCharCode(...data.subarray(i, i + 0x8000));
    return { name, type: bytes.type || file.type, base64: btoa(text) };
  }

  const staying = /_unit$|^instrument$|^thermometer$/; // what the next entry most likely has again

  function emptied(form) {
    const stays = $$("select", form).filter((s) => staying.test(s.name)).map((s) => [s, s.value]);
    form.reset();
    for (const [select, value] of stays) select.value = value;
    for (const fold of $$("details", form)) fold.open = false;
    for (const e of $$(".error, .errors, .drafted", form)) e.remove();
    for (const e of $$(".wrong", form)) e.classList.remove("wrong");
    const fold = form.closest("details.quick");
    if (fold) fold.open = false;
    forget(form);
  }

  $('input[type=file]', write)?.addEventListener("change", (event) => { if (event.target.files.length) event.target.form.requestSubmit(); });

  // What was said last, with the way to take it back.

  let latest = null, hushing = 0;

  function say(entry, word, ...more) {
    clearTimeout(hushing);
    hushing = setTimeout(hush, 20000);
    const line = [entry.title, entry.said].filter(Boolean).join(" ");
    bar.replaceChildren(make("p", { className: "said-line" }, make("strong", { textContent: line }), ` ${waiting.clock(entry.made + entry.ahead)} · ${word}`), ...more);
    bar.hidden = false;
  }

  function hush() {
    bar.hidden = true;
    bar.replaceChildren();
  }

  const takeBackButton = (act) => make("button", { type: "button", className: "plain", textContent: words.takeBack, onclick: act });

  document.addEventListener("waiting", ({ detail: { what, entry, said } }) => {
    if (what === "kept") refresh();
    if (entry.strikes && what === "kept") { say(entry, words.taken); return; }
    if (!latest || entry.id !== latest.id) return;
    if (what === "kept") say(entry, words.kept, takeBackButton(() => askWhy(said.kept, entry.title)));
    else if (Date.now() - entry.made < 15000 && pristine(entry.action)) mend(entry);
    else hush();
  });

  // askWhy takes a line of the log back: struck with a plain reason, or corrected.
  function askWhy(record, title) {
    clearTimeout(hushing);
    const reason = (why) => make("button", { type: "button", className: "plain", textContent: why, onclick: () => strike(record, title, why) });
    bar.replaceChildren(
      make("p", { className: "said-line" }, make("strong", { textContent: title }), ` ${words.why}`),
      make("p", { className: "said-acts" }, reason(words.slip), reason(words.twice), reason(words.other)),
      make("p", { className: "said-acts" }, make("a", { href: `/record/${record}/amend`, textContent: words.amend }),
        make("button", { type: "button", className: "quiet", textContent: words.keep, onclick: hush })));
    bar.hidden = false;
  }

  async function strike(record, title, why) {
    const entry = { url: `/record/${record}/strike`, strikes: true, form: "", run: root.dataset.run, note: why, photo: null,
      where: $("h1").innerText.replace(/\s+/g, " "), fields: [["why", why], ["done_by", root.dataset.by]], title: `${words.struck}: ${title}`, said: "" };
    try {
      say(latest = await waiting.add(entry), words.waits);
    } catch {
      noRoom();
    }
  }

  root.addEventListener("click", (event) => {
    const link = event.target.closest("a.take-back");
    if (!link) return;
    event.preventDefault();
    askWhy(link.closest("[data-record]").dataset.record, link.dataset.title);
  });

  // An entry the house refused comes back into its form, with the house's words at the fields.

  const pristine = (id) => { const form = document.getElementById(id); return form && !changes(form).length && !form.closest("[hidden]"); };

  function mend(entry) {
    const form = document.getElementById(entry.action);
    if (!form) return false;
    mending = entry;
    resting.delete(form);
    const unfit = form.closest(".quick[hidden]"); // the fire is out, or burns, by now
    if (unfit) unfit.hidden = false;
    emptied(form);
    filled(form, entry.fields);
    const wrong = entry.wrong || [];
    for (const { field, message } of wrong) {
      const input = form.elements.namedItem(field), at = (input instanceof RadioNodeList ? input[0] : input)?.closest(".field");
      if (at) wrongAt(at, message);
    }
    const lost = wrong.filter(({ field }) => !form.elements.namedItem(field)).map((w) => w.message);
    if (lost.length || !wrong.length) form.prepend(make("p", { className: "error", textContent: lost.join(" ") || entry.why }));
    $("#mending").hidden = false;
    hush();
    show($(".error", form));
    return true;
  }

  const mended = (form) => (mending?.action === form.id ? mending : null);

  function stopMending() {
    mending = null;
    $("#mending").hidden = true;
  }
  $("#mending button").addEventListener("click", () => {
    const form = mending && document.getElementById(mending.action);
    stopMending();
    if (form) emptied(form);
  });
  document.addEventListener("mend", (event) => {
    if (event.detail.form !== location.pathname) return;
    event.preventDefault();
    if (!mend(event.detail)) waiting.look();
  });

  async function mendFromAddress() {
    const order = Number((location.hash.match(/^#mend-(\d+)$/) || [])[1]);
    if (!order) return;
    history.replaceState(null, "", location.pathname);
    const entry = (await waiting.all()).find((e) => e.order === order && e.state === "wrong");
    if (entry && !mend(entry)) waiting.look(); // its form is gone: the run has ended
  }

  function filled(form, fields) {
    const box = form.closest("details.quick");
    if (box) box.open = true;
    for (const e of $$("input[type=checkbox]", form)) e.checked = false;
    for (const [name, value] of fields) {
      const input = form.elements.namedItem(name);
      if (!input || input.type === "hidden" || input.type === "file") continue;
      if (input.type === "checkbox") input.checked = true;
      else input.value = value; // of radio buttons the one with this value
    }
    for (const fold of $$("details.more, details.exact", form)) fold.open = changes(form).some((e) => fold.contains(e));
  }

  // Drafts: what is typed and not yet written is still there after a reload.

  const draftKey = (form) => `canewright.draft.${root.dataset.by}.${new URL(form.action).pathname}`;
  const forms = $$("form", write);

  // changes are the inputs of a form that differ from how it came.
  function changes(form) {
    return [...form.elements].filter((e) => {
      if (!e.name || e.type === "hidden" || e.type === "file") return false;
      if (e.type === "radio" || e.type === "checkbox") return e.checked !== e.defaultChecked;
      if (e.tagName === "SELECT") return !staying.test(e.name) && e.selectedIndex !== Math.max(0, [...e.options].findIndex((o) => o.defaultSelected));
      return e.value !== e.defaultValue;
    });
  }

  function remember(form) {
    try {
      if (mended(form) || !changes(form).length) localStorage.removeItem(draftKey(form));
      else localStorage.setItem(draftKey(form), JSON.stringify([...new FormData(form)].filter(([, v]) => typeof v === "string")));
    } catch { /* no room: the page still holds it */ }
  }

  function forget(form) {
    try { localStorage.removeItem(draftKey(form)); } catch { /* nothing kept */ }
  }

  function recall() {
    for (const form of forms) {
      try {
        const draft = JSON.parse(localStorage.getItem(draftKey(form)) || "null");
        if (!draft || $(".errors", form)) continue;
        filled(form, draft);
        form.prepend(make("p", { className: "help drafted", textContent: words.draft }));
      } catch { /* as it came */ }
    }
  }
  write.addEventListener("input", (event) => {
    if (event.target.form) remember(event.target.form);
    event.target.closest(".field")?.querySelector(".error[data-here]")?.remove();
  });
  window.addEventListener("pagehide", () => forms.forEach(remember));

  // The number pad, for thumbs; the ordinary keyboard by choice.

  const pad = $("#pad"), numbers = $$('input[inputmode="decimal"], .quantity input[type=text], .number input[type=text]', write);
  const narrow = matchMedia("(max-width: 60rem), (pointer: coarse)");
  let padded = null;
  const byKeyboard = () => { try { return localStorage.getItem("canewright.keyboard") === "yes"; } catch { return false; } };
  const ordinary = new Map(numbers.map((e) => [e, e.inputMode]));

  function fitKeyboard() {
    for (const e of numbers) e.inputMode = narrow.matches && !byKeyboard() ? "none" : ordinary.get(e);
  }

  function openPad(input) {
    if (!narrow.matches || byKeyboard()) return;
    padded = input;
    pad.hidden = false;
    document.body.classList.add("padded");
    $(".pad-label", pad).textContent = $(`label[for="${CSS.escape(input.id)}"]`)?.firstChild.textContent.trim() || "";
    $(".pad-minus", pad).disabled = ordinary.get(input) === "decimal";
    showPad();
  }

  function showPad() {
    $(".pad-value", pad).textContent = padded.value;
    const unit = $("select", padded.parentElement);
    $(".pad-unit", pad).textContent = unit?.selectedOptions[0].text || $(".unit", padded.parentElement)?.textContent || "";
    $(".pad-unit", pad).disabled = !unit || unit.options.length < 2;
  }

  function closePad() {
    padded = null;
    pad.hidden = true;
    document.body.classList.remove("padded");
  }

  function press(key) {
    const input = padded, form = input.form;
    switch (key) {
      case "close": closePad(); return;
      case "write": form.requestSubmit(); return;
      case "next": nextNumber(input); return;
      case "unit": { const unit = $("select", input.parentElement); unit.selectedIndex = (unit.selectedIndex + 1) % unit.options.length; break; }
      case "keyboard":
        try { localStorage.setItem("canewright.keyboard", "yes"); } catch { /* for this page only */ }
        closePad();
        fitKeyboard();
        backToPad();
        input.blur();
        input.focus();
        return;
      case "back": input.value = input.value.slice(0, -1); break;
      case "-": input.value = input.value.startsWith("-") ? input.value.slice(1) : "-" + input.value; break;
      default: if (key !== "." || !input.value.includes(".")) input.value += key;
    }
    input.dispatchEvent(new Event("input", { bubbles: true }));
    showPad();
  }

  function nextNumber(input) {
    const mine = numbers.filter((e) => e.form === input.form && (e.offsetParent || e === input));
    const next = mine[(mine.indexOf(input) + 1) % mine.length];
    next.focus();
    if (next === input) closePad();
  }

  // backToPad gives the pad back to those who chose the keyboard.
  function backToPad() {
    $("#pad-back").hidden = !byKeyboard() || !narrow.matches;
  }

  pad.addEventListener("pointerdown", (event) => event.preventDefault()); // the field keeps the focus
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("button")?.dataset.key;
    if (key && padded) press(key);
  });
  $("#pad-back").addEventListener("click", () => {
    try { localStorage.removeItem("canewright.keyboard"); } catch { /* as it is */ }
    fitKeyboard();
    backToPad();
  });
  write.addEventListener("focusin", (event) => {
    if (ordinary.has(event.target)) openPad(event.target);
    else if (event.target.matches("input, select, textarea")) closePad();
  });
  write.addEventListener("input", (event) => { if (event.target === padded) showPad(); });
  write.addEventListener("keydown", (event) => { if (event.key === "Escape" && padded) closePad(); });
  narrow.addEventListener("change", () => { closePad(); fitKeyboard(); });

  // A form opens with its first number under the thumb.
  write.addEventListener("toggle", (event) => {
    const box = event.target;
    if (box.open && box.matches(".sure, .more, .exact")) closePad();
    if (!box.matches("details.quick")) return;
    if (!box.open) { if (padded && box.contains(padded)) closePad(); return; }
    for (const other of $$("details.quick[open]", write)) if (other !== box && !changes($("form", other)).length) other.open = false;
    const first = $$("input:not([type=hidden]):not([type=radio]):not([type=checkbox]), select, textarea", box).find((e) => e.offsetParent);
    if (numbers.includes(first) && narrow.matches && !byKeyboard() && !$(".error", box)) {
      first.focus({ preventScroll: true });
      openPad(first);
    }
    box.scrollIntoView({ block: "start", behavior: "instant" });
  }, true);

  fitKeyboard();
  backToPad();
  recall();
  stands();
  mendFromAddress();
})();

// The tablet's side of the dock page: order the tiles, hear the scale, keep
// what can't be sent yet. The page works without it, one form at a time.
"use strict";
(() => {
  const one = (what, where = document) => where.querySelector(what);
  const all = (what, where = document) => [...where.querySelectorAll(what)];
  const make = (tag, props, ...inside) => {
    const made = Object.assign(document.createElement(tag), props);
    return made.append(...inside), made;
  };
  let token = one("meta[name=token]")?.content ?? "";
  document.addEventListener("click", (event) => {
    if (event.target.closest("[data-do=print]")) window.print();
  });
  for (const input of all("[data-remember]")) {
    const key = `trayful.${input.dataset.remember}`;
    input.value ||= localStorage.getItem(key) ?? "";
    input.addEventListener("change", () => localStorage.setItem(key, input.value));
  }
  const form = one("form[data-api]");
  if (!form) return;
  const [done, told, waiting, keep] = ["#done", "#told", "#waiting", "#keep"].map((what) => one(what));
  const words = waiting.dataset;
  const { api, needs, told: tells = needs } = form.dataset;
  // A choice, or what was typed instead of it.
  const named = (fields, name) => (fields[name] !== "other" && fields[name]?.trim()) || fields[`${name}_other`] || "";
  // --- What waits: one entry a key, so that two pages can't overwrite each other.
  const WAIT = "trayful.wait.";
  const entries = () => Object.keys(localStorage).filter((key) => key.startsWith(WAIT))
    .map((key) => JSON.parse(localStorage.getItem(key))).filter(Boolean)
    .sort((a, b) => a.entered_at.localeCompare(b.entered_at));
  const store = (entry) => localStorage.setItem(WAIT + entry.id, JSON.stringify(entry));
  const drop = (entry) => localStorage.removeItem(WAIT + entry.id);
  // Not crypto.randomUUID: a page without TLS does not have it.
  const newId = () => "auto-" + [...crypto.getRandomValues(new Uint8Array(10))]
    .map((byte) => byte.toString(16).padStart(2, "0")).join("");
  async function post(path, body, again = true) {
    const answer = await fetch(path, {
      method: "POST", body: JSON.stringify(body), signal: AbortSignal.timeout(12000),
      headers: { "content-type": "application/json", "x-trayful-token": token },
    });
    // After a restart of the program the old token is void: fetch the new one once.
    if (answer.status === 403 && again) {
      const session = await fetch("/api/session");
      if (session.ok) token = (await session.json()).token;
      for (const field of all("input[name=token]")) field.value = token;
      return post(path, body, false);
    }
    return { status: answer.status, value: await answer.json().catch(() => ({})) };
  }
  const sending = new Set();
  // Sends one entry: "kept", "problem" (a person is needed) or "later".
  async function deliver(entry) {
    if (sending.has(entry.id)) return { what: "later" };
    sending.add(entry.id);
    const body = { ...entry.fields, id: entry.id, entered_at: entry.entered_at, sent_at: new Date().toISOString() };
    const { status, value } = await post(entry.api ?? "/api/weigh", body).catch(() => ({}));
    sending.delete(entry.id);
    if (status === 200) return drop(entry), { what: "kept", value };
    if (![403, 404, 409, 413, 422, 500].includes(status)) return { what: "later", pin: status === 401 };
    const problem = { kind: value.error, details: value.details ?? [], message: value.message ?? `${status}` };
    if (localStorage.getItem(WAIT + entry.id)) store({ ...entry, problem });
    return { what: "problem", problem };
  }
  async function deliverAll() {
    if (sending.size) return;
    let told = {};
    for (const entry of entries().filter((entry) => !entry.problem)) {
      told = await deliver(entry);
      if (told.what === "later") break;
    }
    list(told.pin);
  }
  function list(needsPin) {
    const left = entries();
    waiting.hidden = left.length === 0;
    one("#count").textContent = left.length;
    const press = (textContent, onclick) => make("button", { type: "button", textContent, onclick });
    const items = left.map((entry) => {
      const { fields: f, problem } = entry;
      const what = (entry.tells ?? "gross stream supplier").split(" ").map((name) => named(f, name)).filter(Boolean);
      const item = make("li", {}, make("p", { textContent: [...what, entry.entered_at].join(" · ") }));
      if (!problem) return item;
      item.append(make("p", { className: "out", textContent: [problem.message, ...problem.details].join(" ") }));
      if (problem.kind === "doubtful") {
        item.append(press(words.yes, () => { f.sure = "yes"; delete entry.problem; store(entry); deliverAll(); }));
      }
      // Another page's entry goes back into that page's form.
      const back = (entry.api ?? "/api/weigh") === api ? press(words.again, () => { fill(f); drop(entry); list(); })
        : make("a", { href: entry.page ?? "/", className: "button", textContent: words.again });
      item.append(back, press(words.drop, () => { drop(entry); list(); }));
      return item;
    });
    if (needsPin) items.unshift(make("li", {}, make("a", { href: "/pin", className: "button", textContent: words.pin })));
    one("ul", waiting).replaceChildren(...items);
  }
  // --- The form.
  function say(lines, kind = "out") {
    told.hidden = lines.length === 0;
    told.className = kind;
    told.replaceChildren(...lines.map((textContent) => make("p", { textContent })));
  }
  const ticked = (input) => ["radio", "checkbox"].includes(input.type);
  function fill(fields) {
    for (const input of all("input:not([type=hidden]), select", form)) {
      const value = fields[input.name] ?? "";
      if (ticked(input)) input.checked = input.value === value;
      else input.value = value;
    }
  }
  function fresh() {
    for (const input of all("input:not([type=hidden]), select", form)) {
      if (ticked(input)) input.checked = input.defaultChecked;
      else if (input.name !== "by") input.value = input.name === "tare" ? input.defaultValue : "";
    }
    for (const more of all("details", form)) more.open = false;
    asks(false);
    for (const read of all(".read", form)) read.textContent = "";
    one("[name=id]", form).value = newId();
  }
  // Whether someone must say that it is meant.
  function asks(doubtful) {
    const sure = one("#sure");
    if (sure) sure.hidden = !doubtful;
  }
  function next() {
    [done.hidden, form.inert] = [true, false];
    fresh();
    one("input:not([type=hidden]), select", form).focus();
  }
  let undoEnds;
  function show(shown) {
    done.className = `done ${shown.class ?? ""}`;
    for (const field of all("[data-show]", done)) {
      const value = shown[field.dataset.show];
      const line = field.localName === "ul" ? "li" : "p";
      if (Array.isArray(value)) field.replaceChildren(...value.map((textContent) => make(line, { textContent })));
      else if (field.dataset.to) field.href = field.dataset.to + encodeURIComponent(value);
      // Said or not, the words stand in the page already.
      else if (typeof value !== "boolean") field.textContent = value ?? "";
      field.hidden = value === false || value === null;
    }
    const undo = one("[data-do=undo]", done);
    [one("[name=id]", undo).value, one("[name=record]", undo).value, undo.hidden] = [newId(), shown.records, false];
    clearTimeout(undoEnds);
    undoEnds = setTimeout(() => { undo.hidden = true; }, 120000);
    say([]);
    [done.hidden, form.inert] = [false, true];
    done.focus();
  }
  let last = { text: "", at: 0 };
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const fields = Object.fromEntries(new FormData(form));
    const { id } = fields;
    for (const name of ["token", "id"]) delete fields[name];
    if (!needs.split(" ").every((name) => named(fields, name))) {
      say([words.choose]);
      return told.scrollIntoView({ block: "center" });
    }
    const text = JSON.stringify(fields);
    if (text === last.text && Date.now() - last.at < 3000) {
      last.text = "";
      return say([words.twice]);
    }
    const entry = { id, api, tells, page: location.pathname, fields, entered_at: new Date().toISOString() };
    // On the tablet first: whatever happens to the sending, the entry is not lost.
    let stored = true;
    try { store(entry); } catch { stored = false; }
    keep.disabled = true;
    const late = new Promise((resolve) => setTimeout(resolve, 3000, { what: "later" }));
    const { what, value, problem } = await Promise.race([deliver(entry), late]);
    keep.disabled = false;
    if (what === "problem") {
      drop(entry);
      say([problem.message, ...problem.details]);
      asks(problem.kind === "doubtful");
      // A conflict means this id is taken by another content.
      if (problem.kind === "conflict") one("[name=id]", form).value = newId();
    } else if (what === "later" && !stored) {
      say([words.full]);
    } else {
      last = { text, at: Date.now() };
      fresh();
      if (what === "kept") show(value.shown);
      else say([words.offline], "caution");
    }
    if (what !== "kept") told.scrollIntoView({ block: "center" });
    list();
  });
  form.addEventListener("change", (event) => {
    if (event.target.name === "supplier") {
      const tiles = one("#streams .tiles");
      for (const id of event.target.dataset.streams.split(" ").filter(Boolean).reverse()) {
        tiles.prepend(one(`input[value="${id}"]`, tiles)?.closest("label") ?? "");
      }
      const container = one(`[name=container][value="${CSS.escape(event.target.dataset.container)}"]`, form);
      if (container) container.checked = true;
    }
    if (event.target.matches("[data-scale]")) understand(event.target);
  });
  form.addEventListener("click", (event) => {
    // A touch goes on to the next step; arrow keys (no detail) stay where they are.
    const step = event.detail > 0 && innerWidth < 1000 && event.target.matches("input[type=radio]") && event.target.closest("fieldset");
    if (step && step.id !== "weight") step.nextElementSibling?.scrollIntoView({ block: "start", behavior: "smooth" });
  });
  one("[data-do=next]", done).addEventListener("click", (event) => {
    // Elsewhere the page is loaded again: what it lists has changed.
    if (!("stay" in event.currentTarget.dataset)) return;
    event.preventDefault();
    next();
  });
  one("[data-do=undo]", done).addEventListener("submit", async (event) => {
    event.preventDefault();
    const body = Object.fromEntries(new FormData(event.target));
    for (const name of ["token", "back"]) delete body[name];
    const { status, value } = await post("/api/strike", body).catch(() => ({ value: { message: words.offline } }));
    if (status) next();
    say(...(status === 200 ? [[words.undone], "good"] : [[value.message, ...(value.details ?? [])]]));
  });
  // --- The scale: what `scale.js` hears goes to the weight touched last.
  const scales = all("[data-scale]", form);
  let aimed = scales[0];
  form.addEventListener("focusin", ({ target }) => { if (scales.includes(target)) aimed = target; });
  async function understand(input) {
    const read = document.getElementById(input.getAttribute("aria-describedby"));
    read.textContent = "";
    if (!input.value.trim()) return;
    // Not reachable: then the book reads it when it is sent.
    const { status, value } = await post("/api/reading", { text: input.value }).catch(() => ({}));
    if (!status) return;
    read.className = status === 200 ? "read" : "read out";
    read.textContent = status === 200 ? `= ${value.shown}` : (value.details ?? []).join(" ");
  }
  form.addEventListener("reading", ({ detail }) => {
    if (!done.hidden) next();
    aimed.value = detail;
    understand(aimed);
    // With one weight there is only keeping left; with two a touch says which is next.
    (scales.length > 1 ? aimed : keep).focus();
  });
  one("[name=id]", form).value = newId();
  if (!done.hidden) form.inert = true;
  setInterval(deliverAll, 4000);
  deliverAll();
})();

// A page's form: order the tiles, hear the scale, ask what is doubtful, show
// what was kept. The page works without it, one form at a time.
import { UNDO, all, deliver, drop, fields, late, list, make, named, newId, one, said, store, strike, words } from "/wait.js";
import { offline, refresh as renew } from "/reach.js";
import { weights } from "/reading.js";
import { shared } from "/ticks.js";

for (const input of all("[data-remember]")) {
  const key = `trayful.${input.dataset.remember}`;
  input.value ||= localStorage.getItem(key) ?? "";
  input.addEventListener("change", () => localStorage.setItem(key, input.value));
}
const form = one("form[data-api]");
if (form) alive();

function alive() {
  const [done, told, keep] = ["#done", "#told", "#keep"].map((what) => one(what));
  const [id, asks] = [one("[name=id]", form), all("[data-asks]", told)];
  const { api, needs, told: tells = needs.replaceAll("|", " ") } = form.dataset;
  const inputs = () => all("input:not([type=hidden]), select", form);
  const ticked = (input) => ["radio", "checkbox"].includes(input.type);
  // --- What was answered to the page's questions, and what was kept last.
  let [answers, last, undoEnds, byHand, was] = [{}, {}, 0, false];
  const { scales, judged, understand, forget } = weights(form, told.dataset, say, () => { if (!done.hidden) next(); });
  const main = scales.find((input) => input.matches(".large"));
  form.classList.add("alive");
  function say(lines, kind = "") {
    told.close();
    [told.hidden, told.className] = [lines.length === 0, kind === "good" ? kind : "out"];
    one("[role=alert]", told).replaceChildren(...lines.map((textContent) => make("p", { textContent })));
    for (const buttons of asks) buttons.hidden = buttons.dataset.asks !== kind;
    if (lines.length === 0) return;
    // What is asked stands over the page; what is said stands in it.
    if (asks.some((buttons) => !buttons.hidden)) told.showModal();
    else told.show(), told.scrollIntoView({ block: "center" });
    told.focus({ preventScroll: true });
  }
  // A tile that opens questions, and these.
  const part = (tile) => one(`[data-part=${tile.dataset.more}]`, form);
  // A half-filled form outlives a touch on a tab, a reload, Back.
  const DRAFT = `trayful.draft.${location.pathname}`;
  function draft(typed) {
    sessionStorage.setItem(DRAFT, JSON.stringify(fields(form)));
    share(typed);
  }
  const { share, hear } = shared(form, ticked, judged, draft);
  function fill(given) {
    for (const input of inputs()) {
      const value = given[input.name] ?? "";
      if (ticked(input)) input.checked = input.value === value;
      else input.value = value;
      if (input.matches("[data-scale]")) judged(input);
    }
    const says = (part) => all("input, select", part).some((input) => input.name !== "by" && input.value && (!ticked(input) || input.checked));
    for (const more of all("details", form)) more.open ||= says(more);
    for (const tile of all("[data-more]", form)) tile.checked = says(part(tile));
    byHand = Boolean(given.container);
    id.value = given.id ?? newId();
    draft();
  }
  function fresh() {
    const stay = all("[data-stays] input:checked", form).filter((tile) => tile.value !== "other").map((tile) => [tile.name, tile.value]);
    for (const input of inputs()) {
      if (ticked(input)) input.checked = input.defaultChecked;
      else if (input.name !== "by") input.value = input.defaultValue;
    }
    // The next bucket is often of the same: who and what stay chosen.
    for (const [name, value] of stay) for (const tile of all(`[data-stays] [name="${name}"]`, form)) tile.checked = tile.value === value;
    for (const more of all("details", form)) more.open = false;
    forget();
    [answers, byHand, id.value] = [{}, false, newId()];
    if (stay.length) draft();
    else sessionStorage.removeItem(DRAFT);
  }
  // --- What fills the screen once it is kept. A second tap of the same finger
  // must not reach what comes up under it.
  function over(shown) {
    done.hidden = !shown;
    for (const rest of all("header, footer, main > :not(#done)")) rest.inert = shown;
    document.body.classList.add("settling");
    setTimeout(() => document.body.classList.remove("settling"), 500);
  }
  function next() {
    over(false);
    (one("[data-stays] input:checked", form) ? main : inputs()[0]).focus();
  }
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
    [one("[name=record]", undo).value, undo.hidden] = [shown.record, false];
    clearTimeout(undoEnds);
    undoEnds = setTimeout(() => { undo.hidden = true; }, UNDO);
    say([]);
    over(true);
    done.focus();
  }
  // Tiles and last entries as the book has them now; choices stay.
  async function refresh(which = "[data-fresh]") {
    const chosen = fields(form);
    await renew(which);
    for (const input of all("input[type=radio]", form)) input.checked = input.value === (chosen[input.name] ?? "");
    order();
  }
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (keep.disabled) return;
    while (form.dataset.typing) await new Promise((resolve) => setTimeout(resolve, 50));
    const open = one(".ask", form);
    if (open) return say([]), open.scrollIntoView({ block: "center" }), open.focus();
    if (keep.disabled) return;
    if (event.submitter?.name) answers[event.submitter.name] = event.submitter.value;
    const given = { ...fields(form), ...answers };
    if (!needs.split(" ").every((choice) => choice.split("|").some((name) => named(given, name)))) return say([told.dataset.choose]);
    const says = said(tells, given, one("#read strong", form)?.textContent);
    const entry = { id: id.value, api, tells, says, page: location.pathname, fields: { ...given }, entered_at: new Date().toISOString() };
    delete entry.fields.id;
    // On the tablet first: whatever happens to the sending, the entry is not lost.
    let stored = true;
    try { store(entry); } catch { stored = false; }
    keep.disabled = true;
    const sent = deliver(entry);
    const slow = new Promise((resolve) => setTimeout(resolve, 3000, { what: "later" }));
    const { what, value, problem } = await Promise.race([sent, slow]);
    keep.disabled = false;
    if (what === "problem") {
      drop(entry);
      say([problem.message, ...problem.details], problem.kind);
      // A conflict means this id is taken by another content.
      if (problem.kind === "conflict") id.value = newId();
    } else if (what === "later" && !stored) {
      say([words.full]);
    } else {
      last = given;
      fresh();
      if (what === "kept") show(value.shown), refresh();
      else offline();
      if (what === "later") sent.then((told) => told.what === "kept" && late(entry, told.value.shown)).then(() => list());
    }
    list();
  });
  // --- Choices.
  const suppliers = () => one("[name=supplier]:checked", form)?.dataset ?? {};
  function usual() {
    const container = JSON.parse(suppliers().usual || "{}")[one("[name=stream]:checked", form)?.value];
    for (const tile of all("[name=container]", form)) tile.checked = tile.value === container;
  }
  form.addEventListener("input", ({ target }) => {
    // An answer holds for what was asked, not for what is typed since.
    answers = {};
    if (scales.includes(target)) forget(target);
  });
  // What a supplier brings stands first among the streams.
  function order() {
    const tiles = one("#streams .tiles");
    for (const stream of (suppliers().streams ?? "").split(" ").filter(Boolean).reverse()) {
      tiles.prepend(one(`input[value="${stream}"]`, tiles)?.closest("label") ?? "");
    }
  }
  form.addEventListener("change", ({ target }) => {
    if (target.name === "supplier") order();
    if (target.dataset.more) {
      const questions = part(target);
      // Nothing that is not seen is sent.
      if (!target.checked) for (const input of all("input:not([name=by])", questions)) ticked(input) ? input.checked = input.value === "" : input.value = "";
      // Who ticks "bought" or "moisture" has said it, or types it next.
      const first = one("input", questions);
      if (target.checked && questions.dataset.part === "bought") first.checked = true;
      if (target.checked) questions.scrollIntoView({ block: "nearest" });
    }
    if (target.name === "container") {
      const [tare] = [one("#tare"), byHand = true];
      if (target.value === "other") tare.focus();
      else if (tare.value) tare.value = "", judged(tare);
    }
    if (["supplier", "stream"].includes(target.name) && !byHand) usual();
    const line = target.value && target.closest("li");
    if (line && target.matches("[data-scale]")) one("[type=checkbox]", line).checked = true;
    if (target.matches("[data-scale]")) judged(target);
    else if (["supplier", "stream", "container"].includes(target.name) && main?.value) understand(main);
    draft();
  });
  form.addEventListener("pointerdown", ({ target }) => { was = target.checked && target; });
  form.addEventListener("click", (event) => {
    // A touch goes on to the next step; arrow keys (no detail) stay where they are.
    const step = event.detail > 0 && event.target.matches("input[type=radio]") && event.target.closest("fieldset");
    if (!step) return;
    // On a phone a choice shrinks to its tile; a touch on that shows the others.
    const again = was === event.target && !step.matches(".open");
    step.classList.toggle("open", again);
    if (innerWidth < 1000 && step.id !== "weight" && !again) step.nextElementSibling?.scrollIntoView({ block: "nearest", behavior: "smooth" });
  });
  told.addEventListener("cancel", () => say([]));
  one("[data-do=change]", told)?.addEventListener("click", (event) => {
    event.preventDefault();
    say([]);
    (main ?? inputs()[0]).focus();
  });
  one("[data-do=next]", done).addEventListener("click", (event) => {
    // Elsewhere the page is loaded again: what it lists has changed.
    if (!("stay" in event.currentTarget.dataset)) return;
    event.preventDefault();
    next();
  });
  one("[data-do=undo]", done).addEventListener("submit", async (event) => {
    event.preventDefault();
    const { status, value } = await strike(one("[name=record]", done).value);
    if (status) next();
    if (status !== 200) return say([value.message, ...(value.details ?? [])]);
    // What was wrong with it is mended, not entered and weighed anew.
    fill({ ...last, id: newId() });
    say([words.undone], "good");
    refresh();
  });
  document.addEventListener("has", (event) => { if ((event.detail.api ?? "/api/weigh") === api) event.preventDefault(); });
  document.addEventListener("back", ({ detail: { id: was, fields: given, problem, ...entry } }) => {
    // Under its own id it can't be kept twice; one that is taken needs another.
    const now = problem?.kind === "conflict" ? newId() : was;
    if (now !== was) store({ ...entry, id: now, fields: given, problem }), drop({ id: was });
    fill({ ...given, id: now });
    inputs()[0].focus();
  });
  document.addEventListener("late", ({ detail }) => {
    if (detail === id.value) fresh();
    refresh("section[data-fresh], [data-fresh=lots]"); // Other tiles would move under the finger.
  });
  // A page seen again without the network holds an id that was used already.
  if (done.hidden && told.hidden) id.value = newId();
  // --- As it was left.
  const left = JSON.parse(sessionStorage.getItem(DRAFT) ?? "null");
  // What was entered of another sheet or lot stays out of this one.
  const lot = new URLSearchParams(location.search).get("lot");
  if (left && told.hidden && done.hidden && left.sheet === fields(form).sheet && (!lot || left.lot === lot)) {
    const folded = form.closest("details");
    if (folded) folded.open = true;
    fill(left);
  }
  if (!done.hidden) over(true);
  hear();
}

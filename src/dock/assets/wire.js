// Scales on a wire: what each shows beside the form, and the weight that stands
// still in the field that hears the scale. No weight that moves is ever there.
import { all, make, one, press } from "/wait.js";
import { weights } from "/reach.js";

const form = one("form[data-api]");
const texts = one("#wires")?.dataset;
const hears = form && texts ? all("[data-scale]", form) : [];
const main = hears.find((input) => input.dataset.scale === "keep");
let aimed = main ?? hears[0];
// The weight that was sent last, and the printed one that was put in.
let [sent, printed] = ["", ""];
const reading = make("input", { type: "hidden", name: "reading" });
const shown = make("div", { className: "wires" });
shown.setAttribute("aria-label", texts?.title ?? "");
shown.setAttribute("role", "group");

if (hears.length) alive();

function put(field, text, name, way) {
  if (text) form.dispatchEvent(new CustomEvent("ready"));
  if (field.value !== text) {
    field.value = text;
    field.dispatchEvent(new Event("change", { bubbles: true }));
  }
  if (field === main) reading.value = name;
  field.dataset.wire = way;
}
function alive() {
  (main ?? aimed).before(shown);
  if (main) form.append(reading);
  form.addEventListener("focusin", ({ target }) => { if (hears.includes(target)) aimed = target; });
  // A hand that types makes the weight its own.
  form.addEventListener("input", ({ target }) => {
    delete target.dataset.wire;
    if (target === main) reading.value = "";
  });
  form.addEventListener("submit", () => { sent = reading.value || sent; }, true);
  document.addEventListener("weights", told);
  told();
}
function told() {
  for (const scale of weights) if (scale.printed && scale.reading !== printed) take(scale);
  if (main && weights.length) follow(weights[0]);
  shown.replaceChildren(...weights.map(line));
}
function take({ text, reading: name, printed: is }) {
  if (is) printed = name;
  put(aimed, text, name, "taken");
}
// The first scale's weight stands in the main field for as long as it stands still.
function follow({ state, text, reading: name }) {
  if (!main.value) delete main.dataset.wire;
  if (main.dataset.wire === "taken") return;
  if (state === "steady" && name !== sent && (!main.value || main.dataset.wire)) put(main, text, name, "follows");
  else if (main.dataset.wire && name !== reading.value) {
    put(main, "", "", "follows");
    delete main.dataset.wire;
  }
}
function line(scale) {
  // What stands in the field below is not said twice.
  const said = scale.text === aimed.value ? "" : scale.text.replace("+", "");
  const weight = make("output", { textContent: said });
  const told = make("p", { className: `wire ${scale.state}` }, make("b", { textContent: scale.name }), weight, make("span", { textContent: texts[scale.state.replace("-z", "Z")] }));
  // Where it does not go into the field by itself, a touch takes it.
  const held = aimed.value && aimed.dataset.wire !== "follows";
  if (scale.reading && (aimed !== main || held) && aimed.value !== scale.text) told.append(press(texts.take, () => take(scale)));
  return told;
}

// What a field does with a reading of the scale: takes it where the field is
// empty, asks where it holds one already, and says what the book reads in it.
import { all, fields, make, one, post, press } from "/wait.js";

export function weights(form, texts, say, ready) {
  const scales = all("[data-scale]", form);
  const readOf = (input) => document.getElementById(input.getAttribute("aria-describedby"));
  // A large weight hears the scale wherever the focus is: the one touched last.
  let aimed = scales.find((input) => input.matches(".large"));
  form.addEventListener("focusin", ({ target }) => { if (target.matches("[data-scale].large")) aimed = target; });
  // Of one field, or of all of them, with what was asked about it.
  function forget(only) {
    for (const input of only ? [only] : scales) {
      for (const mark of ["held", "refused"]) delete input.dataset[mark];
      if (!only) readOf(input).textContent = "";
    }
    if (!only) for (const box of all(".ask", form)) box.remove();
  }
  function judged(input) {
    forget(input);
    readOf(input).textContent = "";
    if (!input.value.trim()) return;
    input.dataset.held = "yes";
    input.judging = understand(input);
  }
  async function understand(input) {
    const read = readOf(input);
    const asks = () => {
      const { container, tare } = "net" in input.dataset ? fields(form) : {};
      return { text: input.value, container, tare };
    };
    const asked = asks();
    // What was read of another container holds no more.
    read.textContent = "";
    const { status, value } = await post("/api/reading", asked).catch(() => ({}));
    // Not reachable: then the book reads it when it is sent. Typed on: asked anew.
    if (!status || JSON.stringify(asks()) !== JSON.stringify(asked)) return;
    if (status !== 200) input.dataset.refused = "yes";
    read.className = status === 200 ? "read" : "read out";
    if (status !== 200) return read.textContent = (value.details ?? []).join(" ");
    const whole = input.matches("[data-net]"), net = whole && value.net;
    // No container is chosen yet: it is no net weight.
    const shown = whole ? texts.whole.replace("{}", value.shown) : `= ${value.shown}`;
    read.replaceChildren(...net ? [make("strong", { textContent: net }), value.shown] : [shown]);
  }
  function take(field, text) {
    field.value = text;
    field.dispatchEvent(new Event("change", { bubbles: true }));
    (field.dataset.scale === "keep" ? one("#keep") : field).focus();
  }
  // Two readings and one field: a person says which.
  function choice(field, old, text) {
    understand(field);
    let box = one(".ask", field.closest("fieldset, li, div"));
    if (!box) {
      box = make("div", { className: "ask", tabIndex: -1 }, make("p", { textContent: texts.holds.replace("{}", old) }));
      box.setAttribute("role", "alert");
      readOf(field).after(box);
    }
    for (const reading of [old, text]) {
      if (all("button", box).some((button) => button.value === reading)) continue;
      const words = (reading === old ? texts.old : texts.new).replace("{}", reading);
      const button = press(words, () => { box.remove(); take(field, reading); });
      button.value = reading;
      box.append(button);
    }
    box.scrollIntoView({ block: "center" });
    box.focus({ preventScroll: true });
  }
  form.addEventListener("ready", ready);
  form.addEventListener("typing", ({ detail: { field = aimed, text } }) => {
    if (field) readOf(field).textContent = `… ${text}`;
  });
  form.addEventListener("reading", async ({ detail: { text, field = aimed } }) => {
    ready();
    if (!field) return say([`${texts.touch} ${text}`]);
    // A line that was refused is no reading: the next one takes its place.
    await Promise.race([field.judging, new Promise((resolve) => setTimeout(resolve, 1500))]);
    const old = field.value.trim();
    if (!old || old === text || field.dataset.refused) return take(field, text);
    choice(field, old, text);
  });
  return { scales, judged, understand, forget };
}

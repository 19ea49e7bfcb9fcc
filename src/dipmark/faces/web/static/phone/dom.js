// The little that is needed to build a screen: elements with text, never markup from data.

/** An element; `props` are properties (`onclick`, `value`) or attributes, children are nodes or texts. */
export function el(tag, props = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value == null || value === false) continue;
    if (name.startsWith("on") || name === "value" || name === "checked") made[name] = value;
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat().filter((child) => child != null && child !== false));
  return made;
}

/** Whatever a touch begins is finished before the next touch on the same thing counts. */
export function once(act) {
  let busy = false;
  return async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    try {
      await act(event);
    } finally {
      busy = false;
    }
  };
}

export const button = (text, act, props = {}) =>
  el("button", { type: "button", onclick: act && once(act), ...props }, text);

/** A shape of one line, drawn by us; beside it always stands the word. */
export function shape(line, size, name) {
  const svg = document.getElementById("shape").content.firstElementChild.cloneNode(true);
  svg.setAttribute("viewBox", `0 0 ${size} ${size}`);
  svg.setAttribute("class", name);
  svg.firstElementChild.setAttribute("d", line);
  return svg;
}

const MARKS = { ok: "M3 9l4 4 8-9", fault: "M4 4l10 10M14 4L4 14", unseen: "M6 6a3 3 0 1 1 4 3q-1 .5-1 2M9 14v1" };

/** A tick, a cross, a question. */
export const mark = (what) => shape(MARKS[what], 18, "mark");

/** Show a screen: its first heading is read out, the page begins at its top. */
export function show(...children) {
  const main = document.querySelector("main");
  main.replaceChildren(...children.flat().filter(Boolean));
  scrollTo({ top: 0, behavior: "instant" });
  const heading = main.querySelector("h1");
  heading?.setAttribute("tabindex", "-1");
  heading?.focus({ preventScroll: true });
}

/** A field with its label; what is wrong with it is said beside it by `wrong`. */
export function field(label, props = {}) {
  const input = el("input", { autocomplete: "off", ...props });
  const said = el("span", { class: "said", role: "alert" });
  const box = el("label", { class: "field" }, el("span", {}, label), input, said);
  return { box, input, wrong: (text) => said.replaceChildren(text) };
}

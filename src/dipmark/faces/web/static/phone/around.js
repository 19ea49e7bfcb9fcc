// Around the truck: a hit or a near miss, and what is hung on it or taken off.

import { fact, finish, hand } from "./draft.js";
import { button, el, field, show } from "./dom.js";
import { help, sendingState } from "./end.js";
import { caution, note, notice, photo, top, truckName } from "./parts.js";
import { lastHeard } from "./screens.js";
import { sendAll } from "./send.js";
import { yard } from "./yard.js";
import { w } from "./words.js";

const HAPPENED = () => [
  ["hit", w("It was hit, or hit something")],
  ["near-miss", w("Nearly: nothing was touched")],
  ["overload", w("It was overloaded")],
  ["tip-over", w("It tipped over")],
  ["fire", w("It burned")],
  ["other", w("Something else")],
];

/** What happened: first what to do about people, then what it was. */
export function hit(sheet, go) {
  show(
    top(go.home, truckName(sheet)),
    el("h1", {}, w("It was hit, or nearly")),
    caution(w("First the people: help, call, warn. Nobody under the load, the mast or a rack that may come down.")),
    caution(w("Leave it as it stands until somebody has looked, unless it stands in danger.")),
    el("div", { class: "stack" }, HAPPENED().map(([kind, text]) =>
      button(text, () => told(sheet, kind, text, go), { class: "wide" }))),
  );
}

/** What happened, in his words; one line is enough. */
function told(sheet, kind, title, go) {
  const pictures = [], text = field(w("What happened, in plain words"), { maxlength: 400 });
  const struck = field(w("What was struck: place of the truck, rack, door"), { maxlength: 200 });
  const hurt = el("input", { type: "checkbox" }), drove = el("input", { type: "checkbox" });
  const report = async () => {
    const typed = text.input.value.trim();
    if (!typed) return text.wrong(w("Say it in a few words."));
    const body = {
      kind: "incident", what: kind, text: typed, hurt: hurt.checked,
      struck: struck.input.value.split(",").map((one) => one.trim()).filter(Boolean),
      ...(drove.checked ? { person: hand.person.who.person } : {}),
      pictures: pictures.map((taken) => taken.name),
    };
    const made = fact(sheet, body, Date.now());
    await finish(sheet, [made], { pictures, says: `${title}: ${typed}`, refs: [made.id] });
    noted(sheet, kind, hurt.checked, made.id, go);
    return sendAll();
  };
  show(
    top(() => hit(sheet, go), truckName(sheet)),
    el("h1", {}, title),
    text.box, struck.box,
    el("label", { class: "choice" }, drove, el("span", {}, w("I drove it"))),
    el("label", { class: "choice" }, hurt, el("span", {}, w("Somebody was hurt"))),
    photo((taken) => pictures.push(taken)),
    el("div", { class: "bar" }, button(w("Note it"), report, { class: "go" })),
  );
}

function noted(sheet, kind, hurt, id, go) {
  const stops = kind !== "near-miss";
  show(
    el("h1", {}, w("Noted")),
    note(w("Truck {}", sheet.truck)),
    hurt && notice(w("Somebody was hurt"), w("Call for help first. Leave everything as it stands."), true),
    stops
      ? notice(w("Out of service"), w("Key out, into the locked box. Looked over whole, mended, tested and released first."), true)
      : notice(w("Nearly"), w("The truck may work. Tell the lead hand what nearly happened, so that it does not.")),
    stops && help(sheet),
    sendingState(id),
    el("div", { class: "bar" }, button(w("Done"), go.home, { class: "go" })),
  );
}

const CAUTIONS = () => [
  w("Only what the maker of the truck allows, and what its plate names. Nobody under what hangs."),
  w("Gas: outdoors or well aired, no flame, gloves; after the change listen, smell and look for leaks."),
  w("A battery: with the right hoist, weight and fit by the plate, metal off your hands, goggles on."),
];

/** What hangs on it, and what may be hung there: first what hangs nowhere. */
export function hangs(sheet, go) {
  const on = yard.bundle.items.filter((one) => one.truck === sheet.truck);
  const free = yard.bundle.items.filter((one) => one.truck !== sheet.truck);
  free.sort((one, other) => Boolean(one.truck) - Boolean(other.truck));
  const row = (one, body, says) => button(
    el("span", {}, says, el("small", {}, ` ${one.what} · ${one.where}`)),
    () => sure(sheet, one, body, says, go), { class: "wide" });
  show(
    top(() => go.truck(sheet.truck), truckName(sheet)),
    el("h1", {}, w("What hangs on it")),
    (yard.bundle.not_so[sheet.truck] ?? []).map((text) => notice(w("Not so."), text, true)),
    note(lastHeard()),
    el("div", { class: "stack" }, on.flatMap((one) => [
      one.kind === "traction-battery"
        && button(w("{} was charged", one.name), () => charged(sheet, one, go), { class: "wide" }),
      row(one, "removed", w("Take off {}", one.name)),
    ].filter(Boolean))),
    free.length > 0 && el("h2", {}, w("Hang on it")),
    el("div", { class: "stack" }, free.map((one) => row(one, "fitted", w("Hang {}", one.name)))),
    !yard.bundle.items.length && el("p", {}, w("Nothing here has a book of its own. Ask the lead hand.")),
  );
}

/** The cautions stand before the deed; where it hangs may be said. */
function sure(sheet, one, kind, says, go) {
  const where = kind === "fitted" ? field(w("Where on the truck, if there are several places"), { maxlength: 60 }) : null;
  const act = async () => {
    const position = where?.input.value.trim();
    const body = { kind, item: one.book, ...(kind === "fitted" ? { what: one.kind } : {}), ...(position ? { position } : {}) };
    const made = fact(sheet, body, Date.now());
    await finish(sheet, [made], { says });
    show(
      el("h1", {}, w("Noted")), note(w("Truck {}", sheet.truck), el("br"), says),
      kind === "fitted" && el("p", { class: "notice" },
        w("Whether truck and this may work together is looked up on its plate once the yard has heard of it.")),
      sendingState(made.id),
      el("div", { class: "bar" }, button(w("Done"), go.home, { class: "go" })),
    );
    return sendAll();
  };
  show(
    top(() => hangs(sheet, go), truckName(sheet)),
    el("h1", {}, says),
    note(`${one.what} · ${one.where}`),
    CAUTIONS().map(caution),
    where?.box,
    el("div", { class: "bar" }, button(w("Done: note it"), act, { class: "go" })),
  );
}

const MOST = 50;

/** A charge has ended, and the water after it; the cautions stand first. */
function charged(sheet, one, go) {
  const left = field(w("Left before, in %"), { inputmode: "numeric", maxlength: 3 });
  const water = field(w("Water after the charge, in litres"), { inputmode: "decimal", maxlength: 5 });
  const alike = el("input", { type: "checkbox" });
  const act = async () => {
    const percent = left.input.value.trim(), litres = water.input.value.trim().replace(",", ".");
    if (percent && !(/^\d+$/.test(percent) && Number(percent) <= 100)) return left.wrong(w("A number from 0 to 100, or blank."));
    if (litres && !(Number(litres) > 0 && Number(litres) <= MOST)) return water.wrong(w("Litres such as 2.5, or blank."));
    const now = Date.now(), at = { book: one.book };
    const charge = { kind: "charged", what: alike.checked ? "equalise" : "charge", ...(percent ? { percent: Number(percent) } : {}) };
    const went = { kind: "topped-up", fluid: "distilled water", amount: String(Number(litres)), unit: "l" };
    const facts = [fact(at, charge, now), ...(litres ? [fact(at, went, now + 1)] : [])];
    await finish(sheet, facts, { says: w("{} was charged", one.name) });
    show(
      el("h1", {}, w("Noted")), note(one.name), sendingState(facts[0].id),
      el("div", { class: "bar" }, button(w("Done"), go.home, { class: "go" })),
    );
    return sendAll();
  };
  show(
    top(() => hangs(sheet, go), truckName(sheet)),
    el("h1", {}, w("{} was charged", one.name)),
    yard.bundle.charging.map(caution),
    left.box,
    el("label", { class: "choice" }, alike, el("span", {}, w("Charged until all cells are alike"))),
    water.box,
    el("div", { class: "bar" }, button(w("Done: note it"), act, { class: "go" })),
  );
}

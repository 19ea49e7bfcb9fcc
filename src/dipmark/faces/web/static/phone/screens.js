// The screens before a sheet: the trucks, one truck, who is asking, his PIN, what was sent.

import { begun, discard, hand } from "./draft.js";
import { button, el, field, once, show } from "./dom.js";
import { clock, fateOf, moment, note, notice, notYouNotice, serious, stateShape, top, truckName } from "./parts.js";
import { canScan, scan } from "./scan.js";
import { queue, sendAll } from "./send.js";
import { badgeDigest, keyOf } from "./sign.js";
import { get, put } from "./store.js";
import { ask, notYou, personOf, sheetOf, yard } from "./yard.js";
import { w } from "./words.js";

const MANY = 12, LATELY = 6;
const ALWAYS = ["wrong", "hit", "hangs"];

/** Every truck; first what was begun, and what waits to be sent. Nothing is shown once one has gone on meanwhile. */
export async function home(go, still = () => true) {
  if (location.hash) history.replaceState(null, "", "/phone");
  const drafts = await begun(), waiting = (await queue()).filter((one) => one.state !== "taken");
  const list = el("ul", { class: "trucks" }, yard.bundle.sheets.map((sheet) =>
    truckRow(sheet, waiting.filter((one) => one.truck === sheet.truck && one.state === "waiting"), go)));
  const look = field(w("Number of the truck"), {
    type: "search",
    oninput: () => {
      const typed = look.input.value.trim().toLowerCase();
      for (const row of list.children) row.hidden = !row.dataset.truck.includes(typed);
    },
  });
  if (!still()) return;
  hand.person = hand.key = null;
  const ready = el("p", { class: "note", role: "status" });
  navigator.serviceWorker.ready.then(() => ready.append(w("Ready: this phone works without network now.")));
  show(
    el("div", { class: "top" }, el("strong", {}, yard.bundle.yard ?? "dipmark")),
    el("h1", {}, w("Which truck?")),
    note(lastHeard()),
    !yard.known && el("p", { class: "notice" },
      w("The yard no longer knows this phone. What is written here stays; ask the lead hand.")),
    drafts.map((draft) => unfinished(draft, go)),
    waiting.length > 0 && button(w("Waiting to be sent, or not taken: {}", waiting.length), go.sent, { class: "wide" }),
    yard.bundle.sheets.length > MANY && look.box,
    list,
    el("div", { class: "foot" },
      ready,
      button(w("What was sent"), go.sent),
      languageChoice(go),
      note(w(
        "The maker's manual, local rules and a licensed or competent person decide. A check here is not an examination.",
      ))),
  );
}

/** A sheet that is begun: go on with it, or throw it away, which is asked twice. */
function unfinished(draft, go) {
  const away = button(w("Throw away"), async () => {
    if (!away.dataset.sure) {
      away.dataset.sure = "yes";
      away.replaceChildren(w("Really?"));
      return;
    }
    await discard(draft);
    go.home();
  });
  return el("div", { class: "unfinished" },
    button(w("Go on with truck {}, begun {}", draft.sheet.truck, clock(draft.begun)), () => go.resume(draft),
      { class: "go" }), away);
}

export const lastHeard = () => w("Yard last heard {}.", moment(yard.heard));

function truckRow(sheet, waiting, go) {
  return el("li", { "data-truck": sheet.truck.toLowerCase() },
    el("button", { type: "button", class: "truck", onclick: () => go.truck(sheet.truck) },
      stateShape(sheet.state),
      el("b", {}, sheet.truck),
      el("span", {}, sheet.words, el("small", {}, [sheet.kind_text, sheet.place].filter(Boolean).join(" · ")),
        sheet.lock && el("small", {}, w("Being worked on by {}", sheet.lock)),
        waiting.slice(0, 1).map((one) => el("small", {}, `${w("waiting to be sent")}: ${one.says}`)))));
}

function languageChoice(go) {
  const names = { en: "English (UK)", "en-US": "English (US)", es: "Español" };
  const choice = el("select", {
    onchange: async () => {
      await ask(choice.value);
      go.home();
    },
  }, yard.bundle.languages.map((tag) =>
    el("option", { value: tag, selected: tag === yard.bundle.language }, names[tag] ?? tag)));
  return el("label", { class: "field" }, el("span", {}, w("Language")), choice);
}

/** One truck: how it stands, who is working on it, what is open, and what may be done. */
export async function truck(name, go) {
  const sheet = sheetOf(name);
  if (!sheet) return home(go);
  const drafts = await begun(sheet.truck);
  const acts = [
    ["shift", w("Walk-round before the shift")],
    ["take-over", w("Take over from another driver")],
    ["wrong", w("Something is wrong")],
    ["hit", w("It was hit, or nearly")],
    ["hangs", w("What hangs on it")],
    ["after-shift", w("End of the shift")],
    ["full", w("Full list")],
  ];
  const can = acts.filter(([kind]) => sheet.list !== null || ALWAYS.includes(kind));
  return show(
    top(go.home),
    el("h1", {}, w("Truck {}", sheet.truck)),
    el("p", { class: "state" }, stateShape(sheet.state), el("span", {}, sheet.words)),
    note([sheet.kind_text, sheet.place].filter(Boolean).join(" · "), el("br"), lastHeard()),
    sheet.cards.map((text) => notice(w("Out of service"), text, true)),
    sheet.lock && notice(w("Being worked on by {}", sheet.lock), w("Do not touch it.")),
    !sheet.cards.length && sheet.start.reasons.map((text) => el("p", { class: "notice" }, text)),
    (yard.bundle.not_so[sheet.truck] ?? []).map((text) => notice(w("Not with what hangs on it now:"), text, true)),
    sheet.faults.length > 0 && el("section", {}, el("h2", {}, w("Open faults")),
      el("ul", {}, sheet.faults.map((one) =>
        el("li", {}, one.text, " ", el("span", { class: "note" }, serious(one)))))),
    drafts.map((draft) => unfinished(draft, go)),
    sheet.list === null
      && el("p", { class: "notice" }, w("Trucks of this kind have no rules yet. Check it by its manual.")),
    el("div", { class: "stack" }, can.map(([kind, text], at) =>
      button(text, () => go.begin(sheet, kind), { class: at === 0 && !drafts.length ? "go wide" : "wide" }))),
  );
}

/** Whose sheet is it? The badge read or typed, or one of those who used this phone lately; then the PIN. */
export async function who(sheet, then, go) {
  const lately = ((await get("kept", "lately")) ?? []).map(personOf).filter(Boolean);
  const code = field(w("Code on your badge"), { autocapitalize: "characters", maxlength: 40, spellcheck: "false" });
  const by = async (text) => {
    const meant = await badgeDigest(text.includes("#badge=") ? text.split("#badge=")[1] : text);
    const found = yard.bundle.people.find((one) => one.who.badge === meant);
    if (found) pin(found, sheet, then, go);
    else code.wrong(w("No badge of that code is known on this phone."));
  };
  const eye = el("div", {});
  show(
    top(go.home, truckName(sheet)),
    el("h1", {}, w("Who are you?")),
    el("div", { class: "stack" }, lately.map((one) =>
      button(one.who.name, () => pin(one, sheet, then, go), { class: "wide" }))),
    canScan() && button(w("Read the badge"), () => scan(eye, by), { class: "wide" }),
    eye,
    el("form", {
      novalidate: true,
      onsubmit: once(() => by(code.input.value)),
    }, code.box, el("div", { class: "bar" }, button(w("Next"), null, { class: "go", type: "submit" }))),
  );
}

/** The PIN of each sheet; whoever may not drive this kind of truck is told so. */
export function pin(person, sheet, then, go) {
  const typed = field(w("PIN"), { type: "password", inputmode: "numeric", maxlength: 8, enterkeyhint: "go" });
  const enter = async () => {
    typed.wrong(w("One moment…"));
    const key = await keyOf(person.who, typed.input.value);
    if (!key) {
      typed.input.value = "";
      typed.input.focus();
      return typed.wrong(w("That is not the PIN. Try again."));
    }
    Object.assign(hand, { person, key });
    const before = (await get("kept", "lately")) ?? [];
    await put("kept", "lately", [...new Set([person.who.person, ...before])].slice(0, LATELY));
    return then(person);
  };
  show(
    top(go.home, truckName(sheet)),
    el("h1", {}, person.who.name),
    notYouNotice(notYou(person, sheet.kind, Date.now())),
    person.under[sheet.kind] && el("p", { class: "notice" }, w("Only with {} beside you.", person.under[sheet.kind])),
    el("form", { onsubmit: once(enter), novalidate: true }, typed.box,
      el("div", { class: "bar" }, button(w("Begin"), null, { class: "go", type: "submit" }))),
  );
  typed.input.focus();
}

/** What was sent, what waits, what the yard has set aside; and whether what was reported is mended. */
export async function sent(go) {
  const row = (one) => el("li", { class: one.state },
    el("b", {}, w("Truck {}", one.truck)), " ", one.says,
    el("span", { class: "note" }, `${moment(one.made)} · ${fateOf(one.state)}`),
    (one.facts ?? []).flatMap((fact) => fact.problems).map((problem) =>
      el("span", { class: "note" }, w("Found {}; expected {}.", problem.found, problem.expected))),
    one.message && el("span", { class: "note" }, one.message),
    mended(one) && el("span", { class: "note" }, w("What you reported is mended.")));
  const list = el("ul", { class: "sent sending" }), none = el("p", {}, w("Nothing yet."));
  const tell = async () => {
    const entries = await queue();
    none.hidden = entries.length > 0;
    list.replaceChildren(...entries.map(row));
  };
  list.addEventListener("told", tell);
  await tell();
  show(
    top(go.home),
    el("h1", {}, w("What was sent")), note(lastHeard()), none, list,
    el("div", { class: "bar" }, button(w("Send now"), sendAll, { class: "go" })),
  );
}

/** Who reported is told: none of what he reported stands open, and the yard has written since. */
function mended(entry) {
  const sheet = sheetOf(entry.truck);
  return entry.state === "taken" && entry.refs.length > 0 && sheet && sheet.seq > entry.seq + 1
    && entry.refs.every((ref) => !sheet.faults.some((fault) => fault.ref === ref));
}

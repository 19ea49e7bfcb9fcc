// The end of a sheet: the verdict; and what is wrong during the day.

import { fact, finish, finishWalk, hand } from "./draft.js";
import { button, el, field, show } from "./dom.js";
import { caution, fateOf, note, notice, notYouNotice, photo, serious, stateShape, top, truckName } from "./parts.js";
import { lastHeard } from "./screens.js";
import { queue, sendAll } from "./send.js";
import { insteadOf, notYou, telephone, yard } from "./yard.js";
import { w } from "./words.js";

function words(said, draft) {
  const found = Object.values(draft.answers).some((one) => one.mark === "fault" && !one.put_right);
  const odd = found || draft.sheet.faults.length > 0;
  return {
    "out-of-service": w("Out of service"),
    "not-checked": w("Not checked"),
    restricted: w("Restricted"),
    checked: odd ? w("Checked, nothing that stops it") : w("Checked, nothing found"),
  }[said.code];
}

/** What stands behind a verdict, in words. */
function reasons(said, { sheet, list, answers, faults }) {
  const checks = new Map(list.places.flatMap((place) => place.checks).map((check) => [check.id, check]));
  return said.why.flatMap((what) => {
    if (what === "start" && sheet.start.reasons.length) return sheet.start.reasons;
    if (what === "start") return [w("This phone has not heard the yard for too long.")];
    if (what === "cover") return [w("No walk-round covers this time. Walk round it.")];
    if (what === "meter") return [w("With these hours a service is late.")];
    const fault = sheet.faults.find((one) => one.ref === what);
    if (fault) return [`${fault.text}: ${faults[what] === "worse" ? w("worse") : serious(fault)}`];
    const check = checks.get(what), answer = answers[what];
    const named = check.symptoms.find((one) => one.id === answer?.symptom);
    const days = answer?.mark === "fault" ? (named ?? check.symptoms[check.worst]).days : null;
    const within = days != null && (days === 1 ? w("Repair within {} day", days) : w("Repair within {} days", days));
    const how = answer?.mark === "unseen" ? w("Could not check") : named?.text;
    return [[check.text, how, answer?.text, within].filter(Boolean).join(": ")];
  });
}

/** The verdict of the phone: the sheet is finished and goes to be sent the moment this is shown. */
export async function theEnd(draft, go) {
  const said = await finishWalk(draft, (one) => words(one, draft));
  const { sheet } = draft, stops = said.code === "out-of-service" || said.code === "not-checked";
  const not = notYou(hand.person, sheet.kind, Date.now());
  const back = draft.kind === "after-shift";
  const key = back ? { who: "yard" } : { who: "driver", person: hand.person.who.person };
  const hang = async () => {
    const body = fact(sheet, { kind: "held-by", ...key }, Date.now());
    await finish(sheet, [body], { says: back ? w("key back on its hook") : w("key taken") });
    sendAll();
    go.home();
  };
  show(
    el("section", { class: `verdict ${said.code}` },
      stateShape(said.code),
      note(w("Truck {}", sheet.truck)),
      el("h1", {}, words(said, draft)),
      el("p", { class: "key" }, yard.bundle.verdicts[said.code])),
    el("ul", { class: "why" }, reasons(said, draft).map((text) => el("li", {}, text))),
    notYouNotice(not),
    stops && help(sheet),
    el("p", { class: "caution" }, w("By this check only."), " ", lastHeard(), " ",
      el("strong", {}, w("Card on the wheel or man under it: do not touch."))),
    sendingState(draft.id),
    el("div", { class: "bar" },
      button(w("Done"), go.home, stops || not !== null ? { class: "go" } : {}),
      (back || (!stops && not === null))
        && button(back ? w("The key is on its hook") : w("I take the key"), hang, { class: "go" })),
  );
  sendAll();
}

/** Whom to call, and which truck to take instead. */
export function help(sheet) {
  const others = insteadOf(sheet).slice(0, 3);
  const named = others.map((one) => [w("Truck {}", one.truck), one.place].filter(Boolean).join(", "));
  const number = telephone(Date.now());
  return el("section", { class: "help" },
    yard.bundle.call.length > 0 && el("p", {}, w("Tell: {}.", yard.bundle.call.join(", "))),
    number && el("p", {}, el("a", { class: "button call", href: `tel:${number.replaceAll(" ", "")}` }, w("Call {}", number))),
    el("p", {}, named.length
      ? w("Take instead: {}.", named.join(" · "))
      : w("No other truck like it is known to be checked.")));
}

/** A line that says whether a sheet is still to be sent. */
export function sendingState(id) {
  const line = el("p", { class: "sending", role: "status" });
  const tell = async () => {
    const entry = (await queue()).find((one) => one.id === id);
    line.replaceChildren(fateOf(entry?.state ?? "waiting"));
    const yards = entry?.facts?.find((one) => one.yard && one.yard !== one.phone);
    if (yards) line.append(" ", w("The yard's own verdict is another: {}", yard.bundle.verdicts[yards.yard]));
    const minutes = Math.round((entry?.skew ?? 0) / 60);
    if (Math.abs(minutes) > 2) line.append(" ", w("This phone's clock is {} minutes off. Set it.", minutes));
  };
  line.addEventListener("told", tell);
  tell();
  return line;
}

const SENSES = () => ({ seen: w("seen"), heard: w("heard"), felt: w("felt"), smelt: w("smelt") });

/** Something is wrong: by which sense, what, and at once what to do. */
export function wrong(sheet, go, sense = "seen") {
  const troubles = yard.bundle.lists[sheet.list]?.troubles ?? [];
  const systems = troubles
    .map(([system, rows]) => [system, rows.filter((one) => one.sense === sense)])
    .filter(([, rows]) => rows.length);
  show(
    top(go.home, truckName(sheet)),
    el("h1", {}, w("Something is wrong")),
    el("div", { class: "senses" }, Object.entries(SENSES()).map(([one, word]) =>
      button(word, () => wrong(sheet, go, one), { "aria-pressed": String(one === sense) }))),
    systems.map(([system, rows]) => el("section", {}, el("h2", {}, system),
      el("div", { class: "stack" }, rows.map((one) =>
        button(one.text, () => trouble(sheet, one, go), { class: "wide" }))))),
    el("div", { class: "bar" }, button(w("Something else"), () => trouble(sheet, null, go), { class: "go" })),
  );
}

/** What now, before anything is typed; then words and a photo, and the fault is made. */
function trouble(sheet, one, go) {
  const pictures = [], more = field(one ? w("What else, in your words") : w("What is wrong?"), { maxlength: 400 });
  const report = async () => {
    const typed = more.input.value.trim();
    if (!one && !typed) return more.wrong(w("Say it in a few words."));
    const body = {
      kind: "fault",
      text: [one?.text, typed].filter(Boolean).join(" "),
      seriousness: one?.seriousness ?? "stop",
      affects_safety: one?.safety ?? false,
      ...(one?.days == null ? {} : { days: one.days }),
      pictures: pictures.map((taken) => taken.name),
    };
    const made = fact(sheet, body, Date.now());
    await finish(sheet, [made], { pictures, says: body.text, refs: [made.id] });
    reported(sheet, one, made.id, go);
    return sendAll();
  };
  show(
    top(() => wrong(sheet, go, one?.sense), truckName(sheet)),
    el("h1", {}, one?.text ?? w("Something else")),
    whatNow(one),
    one?.cautions.map(caution),
    one && el("section", {}, el("h2", {}, w("Look first")), el("ul", {}, one.first.map((text) => el("li", {}, text)))),
    more.box,
    photo((taken) => pictures.push(taken)),
    el("div", { class: "bar" }, button(w("Report it"), report, { class: "go" })),
  );
}

const stopsIt = (one) => !one || one.seriousness === "now" || one.seriousness === "stop";

function whatNow(one) {
  const plain = w(
    "Park it, forks down, key out. Out of service until a competent person has mended and released it.",
  );
  return notice(one?.words ?? w("Out of service"), one?.now ?? plain, stopsIt(one));
}

function reported(sheet, one, id, go) {
  show(
    el("h1", {}, w("Reported")),
    note(w("Truck {}", sheet.truck)),
    whatNow(one),
    stopsIt(one) && help(sheet),
    sendingState(id),
    el("div", { class: "bar" }, button(w("Done"), go.home, { class: "go" })),
  );
}

// The screens of a sheet: open faults, the meter asked blind, the places one by one.

import { hoursOf, letterAsked, save, stepsOf, valuesAsked } from "./draft.js";
import { button, el, field, mark, once, show } from "./dom.js";
import { caution, head, moment, photo, serious, symptomList } from "./parts.js";
import { whole } from "./verdict.js";
import { w } from "./words.js";

const UNITS = ["l", "ml", "qt", "bar", "psi", "kPa"];
const NUMBER = /^\d{1,9}(\.\d{1,6})?$/, HOUR = 3600000, PLACES = 6;

/** Show the step that a sheet is at; `leave` shows what comes after the last. */
export function step(draft, leave) {
  const all = stepsOf(draft), now = all[draft.at] ?? all.at(-1);
  const onward = async (by = 1) => {
    draft.at = Math.max(0, draft.at + by);
    await save(draft);
    step(draft, leave);
  };
  const tools = { onward, again: () => step(draft, leave), top: head(draft, all, onward, leave) };
  if (now.what === "faults") faults(draft, tools);
  else if (now.what === "meter") meter(draft, tools);
  else if (now.what === "place") place(draft, now.place, tools);
  else leave(draft);
}

function faults(draft, { onward, again, top }) {
  const set = async (ref, fate) => {
    draft.faults[ref] = fate;
    await save(draft);
    if (draft.sheet.faults.every((one) => draft.faults[one.ref])) onward();
    else again();
  };
  const words = { same: w("same"), worse: w("worse"), gone: w("gone") };
  show(
    top,
    el("h1", {}, w("Open faults")),
    el("p", { class: "note" }, w("Look at each. They are known; nobody writes them again.")),
    draft.sheet.faults.map((one) =>
      el("fieldset", { class: "check" },
        el("legend", {}, one.text),
        el("p", { class: "note" }, `${serious(one)} · ${one.by}, ${moment(one.since)}`),
        el("div", { class: "three" }, Object.entries(words).map(([fate, word]) =>
          button(word, () => set(one.ref, fate), { "aria-pressed": String(draft.faults[one.ref] === fate) })))),
    ),
    draft.sheet.faults.every((one) => draft.faults[one.ref]) && bar(button(w("Next"), () => onward(), { class: "go" })),
  );
}

const bar = (...buttons) => el("div", { class: "bar" }, buttons);

/** What does not fit the last reading; null where all fits. It is said only after the hours were typed. */
function doubt(held, hours, now) {
  if (held.last == null) return null;
  const run = whole(hours, PLACES) - whole(held.last, PLACES);
  if (run < 0) return w("That is less than last time ({} h). Read it again.", held.last);
  const most = (Math.ceil((now - held.read) / HOUR) + 1) * 10 ** PLACES;
  return run > most ? w("That is far more than last time ({} h). Read it again.", held.last) : null;
}

function meter(draft, { onward, top }) {
  const check = hoursOf(draft);
  let asked = false;
  const hours = field(w("Hours on the meter"), { inputmode: "decimal", enterkeyhint: "next", maxlength: 16 });
  const next = async () => {
    const typed = number(hours);
    if (!typed) return hours.wrong(w("Write what the meter shows, in digits."));
    const odd = doubt(draft.sheet.meter, typed, Date.now());
    if (odd && !asked) {
      asked = true;
      hours.input.value = "";
      hours.input.focus();
      return hours.wrong(odd);
    }
    draft.hours = typed;
    delete draft.answers[check.id];
    return onward();
  };
  const blank = async (answer) => {
    draft.hours = null;
    if (check.id) draft.answers[check.id] = answer;
    await onward();
  };
  const unread = el("details", { class: "more" }, el("summary", {}, w("It cannot be read")),
    check.symptoms.map((one) => button(one.text, () => blank({ mark: "fault", symptom: one.id }))),
    button(w("Could not check"), () => blank({ mark: "unseen", text: w("dark") })));
  show(
    top,
    el("h1", {}, w("Hour meter")),
    el("form", { onsubmit: once(next), novalidate: true }, hours.box, unread,
      bar(button(w("Next"), null, { class: "go", type: "submit" }))),
  );
  hours.input.focus();
}

/** One place: a button for each check that can stop the truck, one for all the rest together. */
function place(draft, at, tools) {
  const values = valuesAsked(draft), fields = new Map();
  const alone = at.checks.filter((check) => check.stop), rest = at.checks.filter((check) => !check.stop);
  for (const check of at.checks) if (values.has(check.id)) fields.set(check.id, valueField(draft, check));
  const letter = letterAsked(draft) === at.id && letterField(draft);
  const unanswered = () => alone.find((one) => !draft.answers[one.id]);
  const onward = button(rest.length ? w("All of these in order: next") : w("Next"), () => next(), { id: "onward" });
  const mark_ = () => onward.setAttribute("class", unanswered() ? "wait" : "go");
  const set = async (check, answer) => {
    draft.answers[check.id] = answer;
    document.getElementById(`check-${check.id}`).replaceWith(row(check));
    mark_();
    const open = unanswered();
    (open ? document.getElementById(`check-${open.id}`) : onward).scrollIntoView({ block: "nearest" });
    await save(draft);
  };
  const told = (check) => check.cautions.filter((text) => first(at, text) === check);
  const row = (check) => checkRow(check, draft, { set, tools, input: fields.get(check.id), cautions: told(check) });
  const next = async () => {
    const open = unanswered();
    if (open) return document.getElementById(`check-${open.id}`).querySelector(".ok").focus();
    const blank = [...fields].find(([id, input]) => draft.answers[id]?.mark !== "unseen" && !number(input));
    if (blank) return refuse(blank[1], w("Write the value, in digits."));
    if (letter && !/^\p{L}$/u.test(draft.letter ?? "")) return refuse(letter, w("One letter."));
    for (const check of rest) draft.answers[check.id] ??= { mark: "ok" };
    return tools.onward();
  };
  show(
    tools.top,
    el("h1", {}, at.text),
    alone.map(row),
    rest.length > 0 && el("section", { class: "rest" }, el("h2", {}, w("And all of these")),
      rest.map((one) => lesser(one, draft, tools, fields.get(one.id), told(one)))),
    letter && letter.box,
    bar(onward),
  );
  mark_();
}

/** The first check of a place that a caution belongs to: there it stands, once. */
const first = (at, text) => at.checks.find((check) => check.cautions.includes(text));

function refuse(field_, why) {
  field_.wrong(why);
  field_.input.focus();
}

function letterField(draft) {
  const how = { maxlength: 1, autocapitalize: "characters", value: draft.letter ?? "" };
  const made = field(w("Letter on the small plate of this place"), how);
  made.input.oninput = () => {
    draft.letter = made.input.value.trim().toUpperCase();
    save(draft);
  };
  made.box.classList.add("short");
  return made;
}

function valueField(draft, check) {
  const { text, unit } = check.asked;
  const how = { inputmode: "decimal", maxlength: 16, value: draft.values[check.id] ?? "" };
  const made = field(`${w(text)}, ${unit}`, how);
  made.input.oninput = () => {
    draft.values[check.id] = number(made);
    save(draft);
  };
  return made;
}

function number(field_) {
  const typed = field_.input.value.trim().replace(",", ".");
  return NUMBER.test(typed) ? typed : null;
}

const WORD = { ok: () => w("OK"), fault: () => w("Fault"), unseen: () => w("Could not check") };

function checkRow(check, draft, { set, tools, input, cautions }) {
  const answer = draft.answers[check.id];
  const choose = {
    ok: () => set(check, { mark: "ok" }),
    fault: () => faultFound(draft, check, tools),
    unseen: () => notSeen(draft, check, tools),
  };
  return el("fieldset", { class: `check ${answer?.mark ?? ""}`, id: `check-${check.id}` },
    el("legend", {}, check.text),
    el("p", { class: "note" }, w("Normal: {}.", check.normal)),
    !answer && cautions.map(caution),
    input?.box,
    answer && answer.mark !== "ok" && el("p", { class: "found" }, mark(answer.mark), foundText(check, answer)),
    el("div", { class: "answers" }, Object.entries(choose).map(([what, act]) =>
      button(el("span", {}, answer?.mark === what && mark(what), WORD[what]()), act,
        { class: what, "aria-pressed": String(answer?.mark === what) }))),
  );
}

function foundText(check, answer) {
  const named = check.symptoms.find((one) => one.id === answer.symptom)?.text;
  const amount = answer.amount && `${answer.amount} ${answer.amount_unit}`;
  return [WORD[answer.mark](), named, answer.text, answer.put_right, amount].filter(Boolean).join(": ");
}

function lesser(check, draft, tools, input, cautions) {
  const answer = draft.answers[check.id], odd = answer && answer.mark !== "ok";
  return el("div", { class: "lesser" },
    el("div", {}, check.text, " ", el("span", { class: "note" }, w("Normal: {}.", check.normal)),
      odd && el("span", { class: "found" }, mark(answer.mark), foundText(check, answer)),
      cautions.map(caution), input?.box),
    button(w("Fault"), () => faultFound(draft, check, tools),
      { class: "fault", "aria-label": `${w("Fault")}: ${check.text}` }));
}

/** What was found: what was seen, words, a photo, and what was put right on the spot where the rules allow it. */
function faultFound(draft, check, { again, top }) {
  const held = draft.answers[check.id]?.mark === "fault" ? draft.answers[check.id] : { mark: "fault" };
  const answer = { ...held }, said = el("p", { class: "said", role: "alert" });
  const text = field(w("What else, in your words"), { maxlength: 400, value: answer.text ?? "" });
  const spot = el("div", {}), pictures = [];
  const mend = () => {
    const fix = check.symptoms.find((one) => one.id === answer.symptom)?.fix;
    spot.replaceChildren(...(fix ? [fixField(fix, answer)] : []));
    if (!fix) for (const name of ["put_right", "amount", "amount_unit"]) delete answer[name];
  };
  const keep = async () => {
    if (!answer.symptom && !text.input.value.trim()) {
      return said.replaceChildren(w("Choose what was seen, or write it."));
    }
    answer.text = text.input.value.trim() || undefined;
    draft.answers[check.id] = answer;
    draft.pictures.push(...pictures);
    await save(draft);
    return again();
  };
  mend();
  show(
    top,
    el("h1", {}, check.text),
    el("p", { class: "note" }, w("Normal: {}.", check.normal)),
    symptomList(check, answer, mend),
    spot,
    text.box,
    photo((taken) => {
      pictures.push(taken);
      answer.picture = taken.name;
    }),
    said,
    bar(button(w("Back"), again), button(w("Keep this fault"), keep, { class: "go" })),
  );
}

/** What was put right, and how much: the number only where there is one. */
function fixField(fix, answer) {
  const how = field(fix, { maxlength: 400, value: answer.put_right ?? "" });
  const much = field(w("How much"), { inputmode: "decimal", maxlength: 16, value: answer.amount ?? "" });
  const unit = el("select", {}, UNITS.map((one) => el("option", { selected: one === answer.amount_unit }, one)));
  const take = () => {
    answer.put_right = how.input.value.trim() || undefined;
    answer.amount = (answer.put_right && number(much)) ?? undefined;
    answer.amount_unit = answer.amount && unit.value;
  };
  how.input.oninput = much.input.oninput = unit.onchange = take;
  return el("div", { class: "spot" }, el("h2", {}, w("Put right on the spot")),
    el("p", { class: "note" }, w("Only if you have done it. Write what, and how much. Else leave it empty.")),
    how.box, much.box,
    el("label", { class: "field" }, el("span", {}, w("Unit")), unit));
}

function notSeen(draft, check, { again, top }) {
  const keep = async (text) => {
    draft.answers[check.id] = { mark: "unseen", text };
    await save(draft);
    again();
  };
  const other = field(w("Another reason"), { maxlength: 200 });
  show(
    top,
    el("h1", {}, check.text),
    el("p", {}, w("Why could it not be checked?")),
    el("div", { class: "stack" }, [w("loaded"), w("dark"), w("on charge")].map((why) => button(why, () => keep(why)))),
    other.box,
    bar(button(w("Back"), again), button(w("Keep this reason"), () => {
      const why = other.input.value.trim();
      return why ? keep(why) : other.wrong(w("Write why, in a word."));
    }, { class: "go" })),
  );
}


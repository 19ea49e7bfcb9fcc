// The verdict of a sheet: look up, compare whole numbers, take the worst. The same lines as `verdict` in the yard's own
// program; a test holds them equal. No rule and no formula stands here: all of them are in the compiled sheet.

const STATES = ["checked", "restricted", "not-checked", "out-of-service"];
const CHECKED = 0, UNCHECKED = 2, OUT = 3;
const FATES = ["same", "worse", "gone"];
const BEFORE = ["shift", "full", "after-hit"];

/** A number as written, in whole numbers of its last digit: "12.5" with 2 places is 1250. */
export function whole(text, places) {
  const [, sign, before, after = ""] = /^(-?)(\d+)(?:\.(\d+))?$/.exec(text);
  return Number(`${sign}${before}${after.slice(0, places).padEnd(places, "0")}`);
}

function rankOf(cuts, text, celsius) {
  const row = cuts.at[Math.min(Math.max(celsius - cuts.coldest, 0), cuts.at.length - 1)];
  return cuts.ranks[row.filter((cut) => cut <= whole(text, cuts.places)).length];
}

export function checksOf(list, sheet) {
  return list.places.flatMap((place) => place.checks).filter((check) => check.lists.includes(sheet));
}

function weight(check, answer, sheet, cuts, celsius) {
  if (!answer || answer.mark === "unseen") return check.must && BEFORE.includes(sheet) ? UNCHECKED : CHECKED;
  const rank = answer.value != null && cuts ? rankOf(cuts, answer.value, celsius) : CHECKED;
  if ((answer.mark ?? "ok") === "ok") return rank;
  const named = check.symptoms.find((one) => one.id === answer.symptom);
  if (named?.fix != null && answer.put_right != null) return rank === OUT ? OUT : CHECKED;
  return Math.max(rank, (named ?? check.symptoms[check.worst]).rank);
}

/** What a sheet says of the truck; `walk` as it is sent, `now` in ms since 1970. */
export function verdict(sheet, list, walk, now, celsius = 0) {
  const { start } = sheet, kind = walk.sheet ?? "shift";
  const fates = new Map((walk.open_faults ?? []).map((one) => [one.fault, one.now]));
  const answers = new Map((walk.answers ?? []).map((one) => [one.check, one]));
  const stale = start.until != null && now >= start.until;
  const found = [["start", Math.max(start.rank, stale ? UNCHECKED : CHECKED)]];
  if (!BEFORE.includes(kind)) {
    found.push(["cover", start.covered != null && now < start.covered ? CHECKED : UNCHECKED]);
  }
  for (const fault of sheet.faults) {
    const rank = fault.ranks[FATES.indexOf(fates.get(fault.ref) ?? "same")];
    found.push([fault.ref, fault.due != null && now >= fault.due ? OUT : rank]);
  }
  for (const check of checksOf(list, kind)) {
    found.push([check.id, weight(check, answers.get(check.id), kind, sheet.cuts[check.id], celsius)]);
  }
  if (walk.meter && sheet.meter.cuts) {
    found.push(["meter", rankOf(sheet.meter.cuts, walk.meter.hours, celsius)]);
  }
  const worst = Math.max(...found.map(([, rank]) => rank));
  const why = found.filter(([, rank]) => rank === worst && worst > CHECKED).map(([what]) => what);
  return { code: STATES[worst], why };
}

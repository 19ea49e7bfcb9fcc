// What the screens say, in the language that the phone was given.

let words = {};

export function speak(held) {
  words = held;
}

/** A text in the chosen language; braces stand for what is put in, in order. */
export function w(english, ...put) {
  const said = words[english] ?? english;
  return said.replaceAll("{}", () => put.shift());
}

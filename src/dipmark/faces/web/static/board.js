// The key board follows every entry. Without this file it shows how things stood when it was opened.
const board = document.getElementById("board");
const follows = document.getElementById("follows");
const shown = () => board.querySelector("[data-state]")?.dataset;

async function renew() {
  const answer = await fetch("/board", { redirect: "manual" }).catch(() => null);
  if (answer === null) return;
  if (!answer.ok) {
    if (answer.type === "opaqueredirect") location.reload();  // the session has ended
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const held = document.activeElement?.closest?.(".hook")?.id;
  board.replaceChildren(...page.body.childNodes);
  if (held) document.getElementById(held)?.querySelector(".number")?.focus();
  document.getElementById("now").textContent = shown().now;
}

const feed = new EventSource("/feed");
feed.addEventListener("open", () => { follows.textContent = board.dataset.live; });
feed.addEventListener("error", () => { follows.textContent = board.dataset.lost; });
feed.addEventListener("yard", (event) => { if (event.data !== shown()?.state) renew(); });
// What is left of a walk-round goes by the clock, not by entries.
setInterval(() => { if (!document.hidden) renew(); }, 60000);

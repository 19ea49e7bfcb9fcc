// The key board follows every entry. Without this file it shows how things stood when it was opened.
const board = document.getElementById("board");
const follows = document.getElementById("follows");
let shown = null;

async function renew() {
  const answer = await fetch("/board", { headers: { accept: "text/html" }, redirect: "manual" });
  if (!answer.ok) {
    if (answer.type === "opaqueredirect" || answer.status === 401) location.reload();
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const held = document.activeElement?.closest?.(".hook")?.id;
  board.replaceChildren(...page.body.childNodes);
  if (held) document.getElementById(held)?.querySelector(".number")?.focus();
  const now = board.querySelector("[data-now]");
  if (now) document.getElementById("now").textContent = now.dataset.now;
}

const feed = new EventSource("/feed");
feed.addEventListener("open", () => { follows.textContent = board.dataset.live; });
feed.addEventListener("error", () => { follows.textContent = board.dataset.lost; });
feed.addEventListener("yard", (event) => {
  if (shown !== null && shown !== event.data) renew();
  shown = event.data;
});
// What is left of a walk-round goes by the clock, not by entries.
setInterval(() => { if (!document.hidden) renew(); }, 60000);

// The workbench's script: it fetches the page anew when something is chosen
// and puts in only the parts that changed. It computes nothing; without it
// every link still works.

/**
 * Replace the parts of the page that differ in the new one.
 * @param {Document} fresh
 */
function swap(fresh) {
  const held = document.activeElement instanceof HTMLElement ? document.activeElement.id : "";
  document.title = fresh.title;
  for (const id of ["set", "sheet"]) {
    const now = document.getElementById(id);
    const then = fresh.getElementById(id);
    if (now && then) swapInside(now, then);
  }
  if (held) document.getElementById(held)?.focus({ preventScroll: true });
}

/**
 * @param {HTMLElement} now
 * @param {HTMLElement} then
 */
function swapInside(now, then) {
  const nowIDs = [...now.children].map((e) => e.id).join();
  const thenIDs = [...then.children].map((e) => e.id).join();
  if (nowIDs !== thenIDs) {
    now.replaceChildren(...then.childNodes);
    return;
  }
  [...then.children].forEach((part, i) => {
    const old = now.children[i];
    if (old && old.outerHTML === part.outerHTML) return;
    if (old?.matches("[data-keep]") && old.contains(document.activeElement)) {
      keep(old, part);
      return;
    }
    if (old instanceof HTMLDetailsElement && part instanceof HTMLDetailsElement) part.open = old.open;
    const scroll = old?.querySelector(".scroll");
    const left = scroll ? scroll.scrollLeft : 0;
    old?.replaceWith(part);
    const again = part.querySelector(".scroll");
    if (again) again.scrollLeft = left;
  });
}

/**
 * A control that is held must not be replaced under the hand: only its words
 * follow.
 * @param {Element} old
 * @param {Element} part
 */
function keep(old, part) {
  const now = old.querySelector("output");
  const then = part.querySelector("output");
  if (now && then) now.textContent = then.textContent;
  const held = old.querySelector("input[type=range]");
  const fresh = part.querySelector("input[type=range]");
  const words = fresh?.getAttribute("aria-valuetext");
  if (held && words) held.setAttribute("aria-valuetext", words);
}

let turn = 0;

/**
 * Fetch an address and show it; the old answer stays, marked as being renewed.
 * @param {string} url
 * @param {boolean} remember
 */
async function go(url, remember) {
  const mine = ++turn;
  const sheet = document.getElementById("sheet");
  sheet?.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(url, { credentials: "same-origin" });
    const text = await answer.text();
    if (mine !== turn) return;
    if (!answer.ok) {
      location.assign(url);
      return;
    }
    swap(new DOMParser().parseFromString(text, "text/html"));
    if (remember) history.pushState(null, "", url);
  } catch {
    if (mine === turn) location.assign(url);
  } finally {
    if (mine === turn) sheet?.removeAttribute("aria-busy");
  }
}

document.addEventListener("click", (event) => {
  if (event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const target = event.target instanceof Element ? event.target : null;
  const row = target?.closest("tr");
  const tap = target?.closest("#moment [data-id]")?.getAttribute("data-id");
  const link = target?.closest("a[data-swap]") ?? (tap ? document.getElementById("tap-" + tap) : null) ?? row?.querySelector("a[data-pick]") ?? target?.closest("a[href^='/?']");
  if (!(link instanceof HTMLAnchorElement)) {
    const mark = target?.closest("[data-id^='front-'],[data-id^='textbook-'],[data-id='own']");
    const pick = mark?.closest("#chart") ? document.getElementById("pick-" + mark.getAttribute("data-id")) : null;
    if (pick instanceof HTMLAnchorElement) go(pick.href, true);
    return;
  }
  event.preventDefault();
  go(link.href, true);
});

// The handle of the run: the newest place wanted is fetched as soon as the one
// before it has come.
let fetching = false;
/** @type {string | null} */
let wanted = null;

async function follow() {
  if (fetching) return;
  fetching = true;
  while (wanted !== null) {
    const url = wanted;
    wanted = null;
    await go(url, false);
    history.replaceState(null, "", url);
  }
  fetching = false;
}

document.addEventListener("input", (event) => {
  const handle = event.target;
  if (!(handle instanceof HTMLInputElement) || handle.type !== "range" || !handle.form) return;
  const words = new URLSearchParams();
  for (const [name, value] of new FormData(handle.form)) words.append(name, String(value));
  wanted = new URL(handle.form.action).pathname + "?" + words;
  follow();
});

// Up and down go through the rows of the table.
document.addEventListener("keydown", (event) => {
  const here = document.activeElement;
  if ((event.key !== "ArrowDown" && event.key !== "ArrowUp") || !here?.matches("a[data-pick]")) return;
  const all = [...document.querySelectorAll("a[data-pick]")];
  const next = all[all.indexOf(here) + (event.key === "ArrowDown" ? 1 : -1)];
  if (!(next instanceof HTMLAnchorElement)) return;
  event.preventDefault();
  next.focus();
  go(next.href, false).then(() => history.replaceState(null, "", next.href));
});

addEventListener("popstate", () => go(location.href, false));

// The start code has done its work; keep it out of sight and out of bookmarks.
const here = new URL(location.href);
if (here.searchParams.has("start")) {
  here.searchParams.delete("start");
  history.replaceState(null, "", here);
}

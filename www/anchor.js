// Keeps what is in sight where it is while sheets above it get longer or shorter, in browsers that
// do not anchor scrolling themselves.
//
// anchor() begins it. The place of what is at hand is noted whenever the page is scrolled, and
// found again in the frame after each change.

const anchor = () => {
  // The field that is typed in, or what lies below the short answer; and all that holds it, as it
  // may be written anew.
  let places = [];
  let due = false;
  const top = (element) => element.getBoundingClientRect().top + scrollY;
  const seen = (element) => {
    const { top, bottom } = element.getBoundingClientRect();
    return element.closest("main") && bottom > 0 && top < innerHeight;
  };
  const note = () => {
    if (due) return;
    places = [];
    if (scrollY === 0) return;
    const typed = document.activeElement?.matches("input, textarea, select") ? document.activeElement : null;
    const lies = (part) => document.elementFromPoint(innerWidth / 2, innerHeight * part);
    let place = [typed, lies(0.3), lies(0.5)].find((e) => e && seen(e));
    for (; place; place = place.parentElement) places.push([place, top(place)]);
  };
  const steady = () => {
    due = false;
    const [place, before] = places.find(([e]) => e.isConnected) ?? [];
    const moved = place ? Math.round(top(place) - before) : 0;
    if (moved !== 0) scrollBy({ top: moved, behavior: "instant" });
    note();
  };
  const changed = () => {
    if (due) return;
    due = true;
    requestAnimationFrame(steady);
  };
  new MutationObserver(changed).observe(document.body, {
    childList: true,
    characterData: true,
    subtree: true,
    attributeFilter: ["hidden"],
  });
  for (const event of ["scroll", "focusin", "toggle", "resize"]) {
    addEventListener(event, note, { capture: true, passive: true });
  }
};

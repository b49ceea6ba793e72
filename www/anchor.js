// Keeps what is in sight where it is while sheets above it get longer or shorter, in browsers that
// do not anchor scrolling themselves.
//
// anchor() begins it. The place of what is at hand is noted in each frame in which the page was
// scrolled or changed, and found again in the next one with a change.

const anchor = () => {
  // The field that is typed in, or the block that begins in the upper third of the window or above;
  // and all that holds it, as it may be written anew.
  let places = [];
  let asked = false;
  let changed = false;
  const top = (element) => element.getBoundingClientRect().top + scrollY;
  const shown = (element) => element.isConnected && element.offsetHeight > 0;
  const seen = (element) => {
    const { top, bottom } = element.getBoundingClientRect();
    return bottom > 0 && top < innerHeight;
  };
  const note = () => {
    places = [];
    if (scrollY === 0) return;
    const typed = document.activeElement;
    let place = typed?.matches("main input, main textarea, main select") && seen(typed) ? typed : null;
    // Blocks, not what lies at a point: drawings are slow to ask for that.
    place ??= [...document.querySelectorAll(".stage > *")].findLast((e) => shown(e) && e.getBoundingClientRect().top < innerHeight / 3);
    for (; place; place = place.parentElement) places.push([place, top(place)]);
  };
  const steady = () => {
    const [place, before] = places.find(([e]) => shown(e)) ?? [];
    const moved = place ? Math.round(top(place) - before) : 0;
    if (moved !== 0) scrollBy({ top: moved, behavior: "instant" });
  };
  // Only once a frame, which lays the page out anyway.
  const look = () => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      if (changed) steady();
      changed = false;
      note();
    });
  };
  new MutationObserver(() => {
    changed = true;
    look();
  }).observe(document.body, {
    childList: true,
    characterData: true,
    subtree: true,
    attributeFilter: ["hidden"],
  });
  for (const event of ["scroll", "focusin", "toggle", "resize"]) {
    addEventListener(event, look, { capture: true, passive: true });
  }
};

// What the three pages share: where one is, and that leaving with something unsaved is asked.

export function here() {
  for (const link of document.querySelectorAll("header nav a")) {
    if (link.dataset.here === document.body.dataset.page) link.setAttribute("aria-current", "page");
  }
}

export function askBeforeLeaving(isUnsaved) {
  addEventListener("beforeunload", (event) => {
    if (isUnsaved()) event.preventDefault();
  });
}

export function later(act, waitMs) {
  let timer = 0;
  return (...words) => {
    clearTimeout(timer);
    timer = setTimeout(() => act(...words), waitMs);
  };
}

// The largest letters with which a board fits its place: `--size` in px on the board. `largest` and
// `smallest` are parts of the screen's size: its height, or less where it is narrow.

function screenSize() {
  const { innerWidth, innerHeight } = window;
  return innerWidth > innerHeight ? Math.min(innerHeight, innerWidth * 0.75) : Math.min(innerHeight * 0.62, innerWidth * 1.1);
}

export function fit(board, { largest, smallest }) {
  const screen = screenSize();
  const fits = (size) => {
    board.style.setProperty("--size", `${size}px`);
    return board.scrollHeight <= board.clientHeight && board.scrollWidth <= board.clientWidth;
  };
  let low = Math.floor(screen * smallest);
  let high = Math.floor(screen * largest);
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (fits(middle)) low = middle;
    else high = middle - 1;
  }
  fits(low);
}

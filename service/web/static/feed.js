// Keeps the newest build order. A stream says "something changed" and the order is fetched with
// If-None-Match, so a lost event costs nothing; where streams do not get through, a long poll does
// the same. Every few seconds it looks anyway: a pulled cable closes no connection. It is the order
// of the whole counter, since whoever has a hand free tops another's stout.

const LOOK_MS = 8_000;
const GIVE_UP_MS = 5_000;
const LONG_POLL_S = 20;
const AGAIN_MS = 1_500;
const STREAM_TRIES = 3;

export function follow({ bar, onOrder, onContact, onProblem }) {
  const address = `/v1/bars/${encodeURIComponent(bar)}/build-order`;
  let etag = null;
  let asking = null;
  let askAgain = false;
  let failures = 0;
  let isPolling = false;

  async function fetchOrder({ waitS = 0 } = {}) {
    const headers = etag ? { "If-None-Match": etag } : {};
    const stop = AbortSignal.timeout(GIVE_UP_MS + waitS * 1000);
    const answer = await fetch(waitS ? `${address}?wait_s=${waitS}` : address, { headers, signal: stop, cache: "no-store" });
    if (answer.status === 200) {
      const order = await answer.json();
      etag = answer.headers.get("ETag");
      onContact(true);
      onOrder(order);
    } else if (answer.status === 304) {
      onContact(true);
    } else {
      const problem = await answer.json().catch(() => ({}));
      onProblem(problem.detail || `The service answered ${answer.status}.`);
    }
  }

  // One request at a time; a change during it asks once more afterwards.
  function look() {
    if (asking) {
      askAgain = true;
      return asking;
    }
    asking = fetchOrder()
      .catch(() => onContact(false))
      .finally(() => {
        asking = null;
        if (askAgain) {
          askAgain = false;
          look();
        }
      });
    return asking;
  }

  async function poll() {
    isPolling = true;
    for (;;) {
      try {
        await fetchOrder({ waitS: etag ? LONG_POLL_S : 0 });
      } catch {
        onContact(false);
        await new Promise((done) => setTimeout(done, AGAIN_MS));
      }
    }
  }

  function stream() {
    const source = new EventSource(`${address}/stream`);
    source.addEventListener("open", () => (failures = 0));
    source.addEventListener("order", look);
    source.addEventListener("error", async () => {
      failures += 1;
      await look();
      if (source.readyState !== EventSource.CLOSED) return;
      if (failures < STREAM_TRIES) setTimeout(stream, AGAIN_MS);
      else if (!isPolling) poll();
    });
  }

  look();
  stream();
  setInterval(() => document.hidden || look(), LOOK_MS);
  document.addEventListener("visibilitychange", () => document.hidden || look());
  return { look };
}

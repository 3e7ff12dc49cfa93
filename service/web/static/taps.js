// What a finger says to the service, and the guard that keeps it from saying something else.

const GUARD_MS = 400;
const SCREEN = "three-deep-screen";

// Undo takes back the last tap of this screen, also after a reload.
function screenId() {
  let id = sessionStorage.getItem(SCREEN);
  if (!id) {
    const random = crypto.getRandomValues(new Uint32Array(2));
    id = `screen-${random[0].toString(36)}${random[1].toString(36)}`;
    sessionStorage.setItem(SCREEN, id);
  }
  return id;
}

export function makeTaps({ bar, bartender, onSaid, onDone }) {
  const base = `/v1/bars/${encodeURIComponent(bar)}`;
  const screen = screenId();
  let changedAt = -Infinity;
  let isBusy = false;

  // The finger was on its way to what stood here before: it does not count for what stands here now.
  const isGuarded = () => performance.now() - changedAt < GUARD_MS;

  async function send(path, body = {}) {
    if (isBusy) return null;
    if (isGuarded()) {
      onSaid("That had just changed. Look again, then tap.");
      return null;
    }
    isBusy = true;
    try {
      const answer = await fetch(`${base}/${path}`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ screen, ...(typeof body === "function" ? await body() : body) }),
        signal: AbortSignal.timeout(5000),
      });
      const told = await answer.json().catch(() => ({}));
      onSaid(answer.ok ? told.said : told.detail || `Not done: the service answered ${answer.status}.`);
      return answer.ok ? told : null;
    } catch {
      onSaid("Not sent: no connection. Nothing was changed.");
      return null;
    } finally {
      isBusy = false;
      onDone();
    }
  }

  // Only the name could not be read: what else the line says (its allergies first) stays with it.
  async function withName(line, near) {
    const answer = await fetch(`${base}/tickets/${line.ticket}`, { signal: AbortSignal.timeout(5000) });
    const { lines } = await answer.json();
    const [, key] = line.reason.match(/^expected a (spirit|mixer) /) || ["", "recipe"];
    return { to: { ...lines.find((one) => one.line === line.line).came, [key]: near.recipe } };
  }

  const who = bartender ? { bartender } : {};
  return {
    bar,
    changed: () => (changedAt = performance.now()),
    start: (build) => send(`builds/${build}/start`, who),
    made: (build, { startNext = true } = {}) => send(`builds/${build}/made`, { ...who, start_next: startNext }),
    putBack: (build, loss) => send(`builds/${build}/put-back`, { loss }),
    confirm: (drink) => send(`drinks/${drink}/confirm`),
    voidTicket: (ticket, reason) => send(`tickets/${ticket}/void`, { reason }),
    voidDrink: (drink) => send(`drinks/${drink}/void`),
    read: (line, near) => send(`unread/${line.line}/resolve`, () => withName(line, near)),
    means: (line, id) => send(`unread/${line.line}/resolve`, { means: id }),
    seen: (alert) => send(`alerts/${alert}/seen`),
    takePrint: (print) => send(`prints/${print}/take`),
    drop: (line) => send(`unread/${line}/resolve`, { drop: true }),
    undo: () => send("undo"),
  };
}

// The state as the server last sent it, who wants to know, and what the builder asks for.

export const state = { verdicts: {}, entries: {}, drafts: {}, questions: null, next: [], jobs: [], offers: [] };
const listeners = [];
const BY_KEY = ["entries", "verdicts", "drafts"];

export function listen(names, tell) {
  listeners.push({ names, tell });
}

function take(news, whole) {
  for (const [name, value] of Object.entries(news)) {
    if (!whole && BY_KEY.includes(name)) {
      for (const [key, item] of Object.entries(value)) {
        if (item === null) delete state[name][key];
        else state[name][key] = item;
      }
    } else {
      state[name] = value;
    }
  }
  const fresh = new Set([...Object.keys(news), ...(whole ? ["all"] : [])]);
  for (const { names, tell } of listeners) if (names.some((name) => fresh.has(name))) tell(news, whole);
}

export const link = { up: false };
export function connect() {
  const stream = new EventSource("/events");
  stream.addEventListener("all", (event) => {
    link.up = true;
    take({ ...JSON.parse(event.data), link: true }, true);
  });
  stream.addEventListener("news", (event) => take(JSON.parse(event.data), false));
  stream.onerror = () => {
    if (link.up) {
      link.up = false;
      take({ link: false }, false);
    }
    if (stream.readyState === EventSource.CLOSED) setTimeout(connect, 1500);
  };
}

// How many edits are on their way to the file.
let sending = 0;
function sent(more) {
  sending += more;
  take({ sending }, false);
}

export async function ask(name, given = {}) {
  if (name !== "edit") return asked(name, given);
  sent(1);
  try {
    return await asked(name, given);
  } finally {
    sent(-1);
  }
}

async function asked(name, given) {
  const answer = await fetch(`/do/${name}`, {
    method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(given),
  });
  const told = await answer.json().catch(() => ({ error: "the server did not answer in words" }));
  if (!answer.ok) throw new Error(told.error);
  return told;
}

export async function get(path) {
  const answer = await fetch(path);
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return answer.json();
}

// Between the list and the drawing: what is looked at on one side lights up on the other.

const bus = new EventTarget();

export function tell(what, detail) {
  bus.dispatchEvent(new CustomEvent(what, { detail }));
}

// "look" {verdict | null}   "open" {verdict}   "pose" {verdict}   "find" {words}   "draw" {other | null}
// "turned" [{id, from, to}]   "measure" {key}   "work" {name}
export function hear(what, then) {
  bus.addEventListener(what, (event) => then(event.detail));
}

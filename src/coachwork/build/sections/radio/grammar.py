"""Reads a wish. The grammar, in full; each form's meaning stands in docs/radio.md:

wish      = "always" cond | "never" cond | cond "always" | cond "never"
          | "never" cond (AT | "unless" cond | "whenever" cond)     as if "not" cond stood before the rest
          | cond "exactly when" cond | cond "only when" cond | cond "whenever" cond | cond "unless" cond
          | "if" cond "then" cond
          | cond AT | AT [":" | ","] cond             AT = "at power-up" | "at any power-up" | "on signal loss"
          | NUMBER "action(s) from anywhere to" cond  NUMBER = one ... five, or digits
          | cond "can be reached" | cond "can always be reached" | cond "can" ("not" | "never") "be reached"
cond      = and-cond { "or" and-cond }
and-cond  = one { "and" one }
one       = "not" one | "(" cond ")" | subjects ["not" | "never" | "always" | "can" "not"] state
          | "everything" ["but" subjects] ("off" | "quiet") | "nothing" ["but" subjects] "on"
          | "signal" ["not"] ("lost" | "there") | "no" "signal"
          | ("no" | "neither") name { ("," | "and" | "or" | "nor") name } [state; left out: "on"]
subjects  = name { ("," | "and") name }
            "never" and "always" behind a subject make the whole a wish for all states, if nothing follows
state     = mode or position of the subject | "on" | "off" | "quiet"             of a device
          | "raised" | "lowered" | "moved" | "at rest" | ("above" | "below") number "%"   of a control
"""

from __future__ import annotations

from coachwork.build.sections.radio.clauses import Clauses
from coachwork.build.sections.radio.wishes import Both, Condition, Either, Not, Wish

NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5}


class Reader(Clauses):
    """One wish being read, word by word."""

    def wish(self) -> Wish:
        """The whole text as a wish. Raises Stuck."""
        wish = self._form()
        if self.at < len(self.text):
            raise self._stuck("nothing more")
        return wish

    def _form(self) -> Wish:
        if self._take("always"):
            about = self.condition()
            return Wish("always", about, f"always {about}")
        if self._take("never"):
            return self._never(self.condition())
        if self._take("if"):
            given = self.condition()
            if not (self._take("then") or self._take(",")):
                raise self._stuck("then")
            self._take("then")
            about = self.condition()
            return Wish("always", Either((Not(given), about)), f"{about} whenever {given}")
        if (when := self._at_when()) is not None:
            self._take(":") or self._take(",")
            about = Not(self.condition()) if self._take("never") else self.condition()
            return Wish(when, about, f"{about} {when}")
        if (count := self._number()) is not None:
            return self._from_anywhere(count)
        return self._of(self.condition())

    def _never(self, about: Condition) -> Wish:
        """What follows "never" and a condition: nothing, or when it shall not be."""
        if (when := self._at_when()) is not None:
            return Wish(when, Not(about), f"{Not(about)} {when}")
        if self._take("unless"):
            other = self.condition()
            return Wish("always", Either((other, Not(about))), f"{Not(about)} unless {other}")
        if self._take("whenever"):
            other = self.condition()
            return Wish("always", Either((Not(other), Not(about))), f"{Not(about)} whenever {other}")
        return Wish("always", Not(about), f"never {about}")

    def _of(self, about: Condition) -> Wish:
        """What follows a condition."""
        if (when := self._at_when()) is not None:
            return Wish(when, about, f"{about} {when}")
        if self._take("always"):
            return Wish("always", about, f"always {about}")
        if self._take("never") or self._take("can", "not", "reached") or self._take("can", "never", "reached"):
            return Wish("always", Not(about), f"never {about}")
        if not (self.of_all or self.of_none):  # "no lamp on can be reached" denies the reaching, not the lamp
            if self._take("can", "reached"):
                return Wish("can be reached", about, f"{about} can be reached")
            if self._take("can", "always", "reached"):
                return Wish("can always be reached", about, f"{about} can always be reached")
        if self.of_all != "never" and self._take("exactly", "when"):
            other = self.condition()
            same = Both((Either((Not(about), other)), Either((about, Not(other)))))
            return Wish("always", same, f"{about} exactly when {other}")
        if self.of_all != "never" and self._take("only", "when"):
            other = self.condition()
            return Wish("always", Either((Not(about), other)), f"{about} only when {other}")
        if self._take("whenever"):
            other = self.condition()
            return Wish("always", Either((Not(other), about)), f"{about} whenever {other}")
        if self._take("unless"):
            other = self.condition()
            return Wish("always", Either((other, about)), f"{about} unless {other}")
        if self.of_all and self.at == len(self.text):
            return Wish("always", about, f"never {about.of}" if isinstance(about, Not) else f"always {about}")
        raise self._stuck(
            "always, exactly when, only when, whenever, unless, at power-up, on signal loss or can be reached"
        )

    def _from_anywhere(self, count: int) -> Wish:
        if not (self._take("action") or self._take("actions")) or not self._take("from", "anywhere", "to"):
            raise self._stuck("action from anywhere to")
        about = self.condition()
        told = next((word for word, number in NUMBERS.items() if number == count), str(count))
        return Wish(
            "from anywhere", about, f"{told} action{'s' if count > 1 else ''} from anywhere to {about}", actions=count
        )

    def _number(self) -> int | None:
        word = self._word()
        if word in NUMBERS or (word.isdecimal() and 0 < int(word) < 100):
            self.at += 1
            return NUMBERS.get(word) or int(word)
        return None

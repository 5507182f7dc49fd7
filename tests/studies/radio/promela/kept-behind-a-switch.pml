/* A lamp that remembers its mode, fed through a switch on the vehicle; is it off whenever power comes? */
bool lost, button, feed, seen, lit; byte mode;

inline follow() {
  if
  :: !feed -> lit = false; seen = false
  :: else ->
     if
     :: !lit -> lit = true; seen = (button && !lost)
     :: else ->
        if :: (button && !lost) -> if :: !seen -> mode = (mode + 1) % 2 :: else fi; seen = true
           :: else -> seen = false
        fi
     fi
  fi
}

init {
  do
  :: d_step { button = !button; follow() }
  :: d_step { feed = !feed; follow() }
  :: d_step { lost = !lost; follow() }
  :: d_step { lit = false; seen = false; follow(); assert(!lit || mode == 0) }
  od
}

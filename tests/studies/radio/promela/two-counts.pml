/* Two lamps on one button: one counts to three, one to two. Written from the words of the build, not from our code. */
bool lost, button, seen_a, seen_b; byte a, b;

inline follow() {
  if :: (button && !lost) -> if :: !seen_a -> a = (a + 1) % 3 :: else fi; seen_a = true :: else -> seen_a = false fi;
  if :: (button && !lost) -> if :: !seen_b -> b = (b + 1) % 2 :: else fi; seen_b = true :: else -> seen_b = false fi
}

init {
  do
  :: d_step { button = !button; follow(); assert((a != 0) == (b != 0)) }
  :: d_step { lost = !lost; follow(); assert((a != 0) == (b != 0)) }
  :: d_step { a = 0; b = 0; seen_a = (button && !lost); seen_b = seen_a; assert((a != 0) == (b != 0)) }
  od
}

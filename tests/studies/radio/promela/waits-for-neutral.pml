/* A speed controller that obeys only once it has seen neutral; preset to neutral without a signal. */
bool lost, waiting = false; byte stick = 1, drive = 1;

inline follow() {
  byte zone = (lost -> 1 : stick);
  if :: zone == 1 -> waiting = false :: else fi;
  if :: waiting -> drive = 1 :: else -> drive = zone fi;
  zone = 0
}

init {
  do
  :: d_step { stick = 0; follow() }
  :: d_step { stick = 1; follow() }
  :: d_step { stick = 2; follow() }
  :: d_step { lost = !lost; follow() }
  :: d_step { waiting = true; follow(); assert(drive == 1) }
  od
}

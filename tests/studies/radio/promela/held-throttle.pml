/* A stick of three zones, a speed controller that follows, a receiver that holds: 0 reverse, 1 stopped, 2 forward. */
bool lost; byte stick = 1, held = 0, drive = 1;

inline follow() {
  if :: !lost -> drive = stick
     :: else -> if :: held == 3 -> drive = 1 :: else -> drive = held fi
  fi
}

init {
  do
  :: d_step { stick = 0; follow(); assert(!lost || drive == 1) }
  :: d_step { stick = 1; follow(); assert(!lost || drive == 1) }
  :: d_step { stick = 2; follow(); assert(!lost || drive == 1) }
  :: d_step { lost = !lost; if :: lost -> held = stick :: else -> held = 0 fi; follow(); assert(!lost || drive == 1) }
  :: d_step { if :: lost -> held = 3 :: else fi; follow(); assert(!lost || drive == 1) }
  od
}

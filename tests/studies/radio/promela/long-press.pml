/* A sign that a press of two ticks changes, a lamp that a press starts and that goes out after four. */
bool lost, button, down_sign, down_lamp; byte held, sign, lamp, idle;
#define FIRED 9

inline follow() {
  if :: (button && !lost) -> if :: !down_sign -> held = 0; down_sign = true :: else fi
     :: else -> down_sign = false; held = 0
  fi;
  if :: (button && !lost) -> if :: !down_lamp -> lamp = (lamp + 1) % 2; idle = 0; down_lamp = true :: else fi
     :: else -> if :: down_lamp -> idle = 0; down_lamp = false :: else fi
  fi
}

inline tick() {
  if :: (down_sign && held != FIRED) ->
        held++; if :: held == 2 -> sign = 1 - sign; held = FIRED :: else fi
     :: else
  fi;
  if :: lamp == 1 -> idle++; if :: idle == 4 -> lamp = 0; idle = 0 :: else fi
     :: else
  fi
}

#define RIGHT assert(sign == 0 || lamp == 1)

init {
  do
  :: d_step { button = !button; follow(); RIGHT }
  :: d_step { lost = !lost; follow(); RIGHT }
  :: d_step { sign = 0; lamp = 0; idle = 0; down_sign = (button && !lost); down_lamp = down_sign;
              if :: down_sign -> held = FIRED :: else -> held = 0 fi; RIGHT }
  :: d_step { tick(); RIGHT }
  :: d_step { tick(); tick(); RIGHT }
  :: d_step { tick(); tick(); tick(); RIGHT }
  :: d_step { tick(); tick(); tick(); tick(); RIGHT }
  od
}

/* A dial of five zones; one device goes on at the third and off in the first, another on at the fifth, off up to the third. */
bool lost, low_on, high_on; byte zone, to;

inline one() {
  if :: lost -> low_on = false; high_on = false
     :: else ->
        if :: zone >= 2 -> low_on = true :: zone == 0 -> low_on = false :: else fi;
        if :: zone == 4 -> high_on = true :: zone <= 2 -> high_on = false :: else fi
  fi
}
inline sweep(where) {
  do :: zone < where -> zone++; one() :: zone > where -> zone--; one() :: else -> break od
}
#ifdef EXACTLY
#define RIGHT assert(low_on == high_on)
#else
#define RIGHT assert(!high_on || low_on)
#endif

init {
  do
  :: d_step { sweep(0); RIGHT }
  :: d_step { sweep(1); RIGHT }
  :: d_step { sweep(2); RIGHT }
  :: d_step { sweep(3); RIGHT }
  :: d_step { sweep(4); RIGHT }
  :: d_step { lost = !lost; one(); RIGHT }
  :: d_step { low_on = false; high_on = false; one(); RIGHT }
  od
}

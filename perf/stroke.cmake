# Strokes per second: our batch in both builds against a general Newton solver (GSL, beside the program only).
if(TARGET hw_stroke)
  add_executable(bench_stroke bench_stroke.c)
  target_link_libraries(bench_stroke PRIVATE hw_flags m gsl gslcblas)
  hw_link(bench_stroke stroke)
endif()

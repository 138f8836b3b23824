hw_fuzz(stl SOURCES fuzz_stl.c USES files)

hw_fuzz(ply SOURCES fuzz_ply.c USES files)

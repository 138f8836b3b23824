hw_fuzz(solid SOURCES fuzz_solid.c USES solid)

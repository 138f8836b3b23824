hw_fuzz(design SOURCES fuzz_design.c USES design)

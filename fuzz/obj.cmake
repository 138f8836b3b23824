hw_fuzz(obj SOURCES fuzz_obj.c USES files)

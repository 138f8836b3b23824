hw_fuzz(text SOURCES fuzz_text.c USES base)
if(TARGET hw_reckon)
  hw_fuzz(reckon SOURCES fuzz_reckon.c USES reckon)
endif()

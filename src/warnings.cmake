# Warnings and sanitizers for first-party targets only. In a group of files (BELLHAND_UNITY) a name of one is in sight of the next, and
# the compiler takes all of them for headers: two warnings say nothing there.
add_library(bellhand_warnings INTERFACE)
add_library(bellhand::warnings ALIAS bellhand_warnings)
target_compile_options(bellhand_warnings INTERFACE
  -Wall -Wextra -Wpedantic $<IF:$<BOOL:${BELLHAND_UNITY}>,$<$<CXX_COMPILER_ID:GNU>:-Wno-subobject-linkage>,-Wshadow> -Wconversion -Wsign-conversion -Wdouble-promotion -Wold-style-cast
  -Wundef -Wformat=2 -Wnon-virtual-dtor -Woverloaded-virtual -Wcast-align
  $<$<CXX_COMPILER_ID:GNU>:-Wlogical-op -Wduplicated-cond -Wduplicated-branches>)
if(BELLHAND_WERROR)
  target_compile_options(bellhand_warnings INTERFACE -Werror)
endif()
if(BELLHAND_SANITIZE)
  # g++ 12 sees uninitialised members inside std::regex and std::optional once sanitizers have split its view of them.
  target_compile_options(bellhand_warnings INTERFACE $<$<CXX_COMPILER_ID:GNU>:-Wno-maybe-uninitialized>)
  add_compile_options(-fsanitize=${BELLHAND_SANITIZE} -fno-omit-frame-pointer -fno-sanitize-recover=all)
  add_link_options(-fsanitize=${BELLHAND_SANITIZE})
  add_compile_definitions(BELLHAND_SANITIZED=1)
endif()

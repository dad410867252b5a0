# What a program for Windows has beside its code: the manifest (UTF-8, screen scale), the icon, the DLLs; and a second program
# with a window of its own and no console.
enable_language(RC)
set(CMAKE_CXX_STANDARD_LIBRARIES "${CMAKE_CXX_STANDARD_LIBRARIES} -lssp") # some of the libraries were built with its checks
set(windows ${CMAKE_CURRENT_LIST_DIR})
find_program(CONVERT convert REQUIRED)
add_custom_command(OUTPUT ${CMAKE_BINARY_DIR}/bellhand.ico
  COMMAND ${CONVERT} -background none ${windows}/../linux/bellhand.svg -define icon:auto-resize=256,64,48,32,16 ${CMAKE_BINARY_DIR}/bellhand.ico
  DEPENDS ${windows}/../linux/bellhand.svg COMMENT "The icon" VERBATIM)
add_custom_target(bellhand_icon DEPENDS ${CMAKE_BINARY_DIR}/bellhand.ico)
set_source_files_properties(${windows}/icon.rc PROPERTIES OBJECT_DEPENDS ${CMAKE_BINARY_DIR}/bellhand.ico COMPILE_OPTIONS "-I${CMAKE_BINARY_DIR}")

function(bellhand_program target)
  target_sources(${target} PRIVATE ${windows}/manifest.rc)
endfunction()

add_executable(bellhandw WIN32 gui/main_windows.cpp)
target_link_libraries(bellhandw PRIVATE bellhand::gui bellhand::warnings)
foreach(target bellhand bellhandw)
  target_sources(${target} PRIVATE ${windows}/icon.rc)
  add_dependencies(${target} bellhand_icon)
  bellhand_program(${target})
endforeach()
set_target_properties(bellhandw PROPERTIES RUNTIME_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR})
target_link_libraries(bellhand_core PUBLIC winmm ole32 uuid shell32)
target_link_libraries(bellhand_audio PUBLIC ole32 uuid ksuser)

install(TARGETS bellhand bellhandw DESTINATION .)
install(DIRECTORY ${CMAKE_SOURCE_DIR}/assets DESTINATION . PATTERN screenshots EXCLUDE)
install(DIRECTORY ${BELLHAND_WINDOWS_LIBRARIES}/bin/ DESTINATION . FILES_MATCHING PATTERN "*.dll")
install(FILES ${CMAKE_BINARY_DIR}/bellhand.ico ${CMAKE_SOURCE_DIR}/LICENSE DESTINATION .)

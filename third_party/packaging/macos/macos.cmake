# Bellhand.app: the program with its assets, the sentence without which the microphone stays silent, and homework files.
# Written without a Mac: see third_party/README.md.
set_target_properties(bellhand PROPERTIES
  MACOSX_BUNDLE ON
  OUTPUT_NAME Bellhand
  MACOSX_BUNDLE_INFO_PLIST ${CMAKE_CURRENT_LIST_DIR}/Info.plist.in
  MACOSX_BUNDLE_BUNDLE_NAME Bellhand
  MACOSX_BUNDLE_GUI_IDENTIFIER org.bellhand.Bellhand
  MACOSX_BUNDLE_BUNDLE_VERSION ${PROJECT_VERSION}
  MACOSX_BUNDLE_SHORT_VERSION_STRING ${PROJECT_VERSION})
install(TARGETS bellhand BUNDLE DESTINATION .)
install(DIRECTORY assets DESTINATION Bellhand.app/Contents/Resources PATTERN screenshots EXCLUDE)

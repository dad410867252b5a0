# What a package holds beside the program and its assets, and how the .deb is made: `sh third_party/setup.sh package`.
set(here ${CMAKE_CURRENT_LIST_DIR})
set(doc ${CMAKE_INSTALL_DATADIR}/doc/bellhand)
set(made ${CMAKE_BINARY_DIR}/packaging)

install(FILES ${here}/linux/org.bellhand.Bellhand.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
install(FILES ${here}/linux/bellhand.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps)
install(FILES ${here}/linux/bellhand.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/mimetypes RENAME application-x-hornwork.svg)
install(FILES ${here}/linux/bellhand-mime.xml DESTINATION ${CMAKE_INSTALL_DATADIR}/mime/packages RENAME bellhand.xml)
install(FILES ${here}/linux/bellhand.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME bellhand)
install(FILES ${here}/linux/bellhand.zsh DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions RENAME _bellhand)
install(FILES ${here}/linux/bellhand.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)

if(NOT BELLHAND_PACKAGE)
  return()
endif()

# Pages of the manual, notices, changelog and the day of the release: made from the program and from the system that builds.
add_custom_target(package_texts
  COMMAND sh ${here}/linux/texts.sh $<TARGET_FILE:bellhand> ${CMAKE_SOURCE_DIR} ${PROJECT_VERSION} ${made}
  DEPENDS bellhand COMMENT "Pages of the manual and notices" VERBATIM)
install(DIRECTORY ${made}/man/ DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(DIRECTORY ${made}/doc/ DESTINATION ${doc})
install(DIRECTORY ${made}/metainfo/ DESTINATION ${CMAKE_INSTALL_DATADIR}/metainfo)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME bellhand)
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_CONTACT "The Bellhand authors <bellhand@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "practice tuner and partial trainer for the natural horn")
set(CPACK_PACKAGE_DESCRIPTION "Bellhand listens while you play and tells which partial of the crook sounds,
which written note it is, how far it lies from where it should be and which
hand position the sound betrays. It plans crooks and couplers, measures your
own horn, leads through the day's practice, keeps a log of every note, and
sends homework to and fro between teacher and student.")
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION sound)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# Fonts, the sound server as a device and a drawing driver are found while the program runs: no library names them.
set(CPACK_DEBIAN_PACKAGE_DEPENDS "fonts-dejavu-core, fonts-inter, fonts-texgyre, libgl1-mesa-dri, libasound2-plugins")
include(CPack)

; The installer: for one user, without an administrator's rights. -DSTAGE=FOLDER -DVERSION=... -DOUT=FILE -DREMOVAL=FILE,
; where REMOVAL lists what the uninstaller deletes: what was installed, nothing else. The user's log, takes and settings
; lie elsewhere and stay.
Unicode true
Target amd64-unicode
SetCompressor /SOLID lzma
Name "Bellhand"
OutFile "${OUT}"
InstallDir "$LOCALAPPDATA\Programs\Bellhand"
InstallDirRegKey HKCU "Software\Bellhand" "Folder"
RequestExecutionLevel user
Icon "${STAGE}/bellhand.ico"
UninstallIcon "${STAGE}/bellhand.ico"
BrandingText "Bellhand ${VERSION}"
LicenseData "${STAGE}/LICENSE"
VIProductVersion "${VERSION}.0"
VIAddVersionKey "ProductName" "Bellhand"
VIAddVersionKey "FileDescription" "Installer of Bellhand"
VIAddVersionKey "FileVersion" "${VERSION}"
VIAddVersionKey "LegalCopyright" "The Bellhand authors"
Page license
Page directory
Page instfiles
UninstPage uninstConfirm
UninstPage instfiles

!define CLASSES "Software\Classes"
!define UNINSTALL "Software\Microsoft\Windows\CurrentVersion\Uninstall\Bellhand"

Section
  SetOutPath "$INSTDIR"
  File /r "${STAGE}/*"
  WriteUninstaller "$INSTDIR\uninstall.exe"
  CreateShortcut "$SMPROGRAMS\Bellhand.lnk" "$INSTDIR\bellhandw.exe" "" "$INSTDIR\bellhand.ico"
  ; A homework file opens here; other kinds offer Bellhand under "Open with".
  WriteRegStr HKCU "${CLASSES}\.hornwork" "" "Bellhand.Homework"
  WriteRegStr HKCU "${CLASSES}\.hornwork" "Content Type" "application/x-hornwork"
  WriteRegStr HKCU "${CLASSES}\Bellhand.Homework" "" "Homework for the natural horn"
  WriteRegStr HKCU "${CLASSES}\Bellhand.Homework\DefaultIcon" "" "$INSTDIR\bellhand.ico"
  WriteRegStr HKCU "${CLASSES}\Bellhand.Homework\shell\open\command" "" '"$INSTDIR\bellhandw.exe" "%1"'
  WriteRegStr HKCU "${CLASSES}\Applications\bellhandw.exe\shell\open\command" "" '"$INSTDIR\bellhandw.exe" "%1"'
  WriteRegStr HKCU "${CLASSES}\Applications\bellhandw.exe" "FriendlyAppName" "Bellhand"
  WriteRegStr HKCU "Software\Bellhand" "Folder" "$INSTDIR"
  WriteRegStr HKCU "${UNINSTALL}" "DisplayName" "Bellhand"
  WriteRegStr HKCU "${UNINSTALL}" "DisplayVersion" "${VERSION}"
  WriteRegStr HKCU "${UNINSTALL}" "Publisher" "The Bellhand authors"
  WriteRegStr HKCU "${UNINSTALL}" "DisplayIcon" "$INSTDIR\bellhand.ico"
  WriteRegStr HKCU "${UNINSTALL}" "UninstallString" '"$INSTDIR\uninstall.exe"'
  WriteRegStr HKCU "${UNINSTALL}" "QuietUninstallString" '"$INSTDIR\uninstall.exe" /S'
  WriteRegDWORD HKCU "${UNINSTALL}" "NoModify" 1
  WriteRegDWORD HKCU "${UNINSTALL}" "NoRepair" 1
  System::Call 'shell32::SHChangeNotify(i 0x08000000, i 0, p 0, p 0)'
SectionEnd

Section Uninstall
  !include "${REMOVAL}"
  Delete "$INSTDIR\uninstall.exe"
  RMDir "$INSTDIR"
  RMDir "$LOCALAPPDATA\Programs" ; when nothing else is in it
  Delete "$SMPROGRAMS\Bellhand.lnk"
  DeleteRegKey HKCU "${CLASSES}\.hornwork"
  DeleteRegKey HKCU "${CLASSES}\Bellhand.Homework"
  DeleteRegKey HKCU "${CLASSES}\Applications\bellhandw.exe"
  DeleteRegKey HKCU "Software\Bellhand"
  DeleteRegKey HKCU "${UNINSTALL}"
  System::Call 'shell32::SHChangeNotify(i 0x08000000, i 0, p 0, p 0)'
SectionEnd

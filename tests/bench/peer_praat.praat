# A peer to measure against: autocorrelation pitch over a whole folder of sounds.
# praat --run peer_praat.praat NAMES.txt WAVFOLDER OUTFOLDER FLOOR_HZ
# time_s = centre of the frame plus half of its window (1.5 periods of the floor): the newest sample it used. The path
# through the candidates is found over the whole file, so latencies of this peer are better than it could have live.
form arguments
  sentence names
  sentence wavs
  sentence out
  real floor
endform
list = Read Strings from raw text file: names$
count = Get number of strings
for i to count
  selectObject: list
  name$ = Get string: i
  sound = Read from file: wavs$ + "/" + name$ + ".wav"
  pitch = To Pitch (ac): 0.0053333, floor, 15, "no", 0.03, 0.45, 0.01, 0.35, 0.14, 1600
  frames = Get number of frames
  csv$ = out$ + "/" + name$ + ".csv"
  writeFileLine: csv$, "time_s,f0_hz"
  for k to frames
    t = Get time from frame number: k
    f = Get value in frame: k, "Hertz"
    if f = undefined
      f = 0
    endif
    appendFileLine: csv$, fixed$ (t + 1.5 / floor, 6), ",", fixed$ (f, 6)
  endfor
  removeObject: sound, pitch
endfor

/** Why goodgate says otherwise than the other readers, by path and fact. */
export const explanations: Readonly<Record<string, string>> = {
  ...Object.fromEntries(
    [
      "frameRate",
      "frames",
      "durationSeconds",
      "variable",
      "width",
      "height",
      "rotationDegrees",
      "codec",
      "primaries",
      "transfer",
      "matrix",
      "hasAudio",
    ].map((fact) => [
      `mp4-truncated-moov/clip.mp4: ${fact}`,
      "the index is cut off: what is left of it is not believed",
    ]),
  ),
  "mkv-no-default-duration/clip.mkv: durationSeconds":
    "the other reader ends with the start of the last picture, for the container states no length of it",
  "mov-elst-rate/clip.mp4: durationSeconds":
    "the edit list plays a stretch at a quarter of the speed; the others leave the speed of edits out",
  "mp4-colr-vs-vui/clip.mp4: matrix":
    "the box and the codec contradict each other; the box goes first, the codec's word is kept",
  "mp4-rdd18/clip.mp4: timecode":
    "the header of its acquisition records is all zeros, never filled in; one that is filled in is read",
  "fragments-moov.mov: frames": "they count the first stretch, listed in the index, and not the fragments behind it",
  "hevc.mkv: frameRate": "a guess from times in milliseconds: 19001/317 is 59.94 rounded",
};

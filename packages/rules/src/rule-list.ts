import type { CardRule, ClipRule, Rule, UseRule } from "./rule.ts";
import aspect from "./rules/aspect.ts";
import bakedSlowMotion from "./rules/baked-slow-motion.ts";
import bitsPerFrame from "./rules/bits-per-frame.ts";
import blackFrozen from "./rules/black-frozen.ts";
import blurAgainstShutter from "./rules/blur-against-shutter.ts";
import bracketIncomplete from "./rules/bracket-incomplete.ts";
import bracketUneven from "./rules/bracket-uneven.ts";
import captureRateUnproven from "./rules/capture-rate-unproven.ts";
import cardRemarks from "./rules/card-remarks.ts";
import cardSpace from "./rules/card-space.ts";
import clippedOrCrushed from "./rules/clipped-or-crushed.ts";
import clock from "./rules/clock.ts";
import colourTagsDisagree from "./rules/colour-tags-disagree.ts";
import colourUntagged from "./rules/colour-untagged.ts";
import cutShort from "./rules/cut-short.ts";
import damagedFacts from "./rules/damaged-facts.ts";
import deliveryRange from "./rules/delivery-range.ts";
import digitalZoom from "./rules/digital-zoom.ts";
import driftMeasured from "./rules/drift-measured.ts";
import editList from "./rules/edit-list.ts";
import entryPoints from "./rules/entry-points.ts";
import exposureBias from "./rules/exposure-bias.ts";
import exposureDrift from "./rules/exposure-drift.ts";
import exposureJump from "./rules/exposure-jump.ts";
import fastModePenalty from "./rules/fast-mode-penalty.ts";
import flickerMeasured from "./rules/flicker-measured.ts";
import focusSoft from "./rules/focus-soft.ts";
import foreignFiles from "./rules/foreign-files.ts";
import formatDiffers from "./rules/format-differs.ts";
import frameTiming from "./rules/frame-timing.ts";
import hdrBelow10Bit from "./rules/hdr-below-10-bit.ts";
import headerLength from "./rules/header-length.ts";
import horizonTilted from "./rules/horizon-tilted.ts";
import interlaced from "./rules/interlaced.ts";
import isoCeiling from "./rules/iso-ceiling.ts";
import isoHighForCard from "./rules/iso-high-for-card.ts";
import lightCostOfRate from "./rules/light-cost-of-rate.ts";
import lightLeft from "./rules/light-left.ts";
import log from "./rules/log.ts";
import lookDiffers from "./rules/look-differs.ts";
import mainsFlicker from "./rules/mains-flicker.ts";
import nameCollision from "./rules/name-collision.ts";
import nd from "./rules/nd.ts";
import nearMissRate from "./rules/near-miss-rate.ts";
import noiseMeasured from "./rules/noise-measured.ts";
import numberGap from "./rules/number-gap.ts";
import orphanProxy from "./rules/orphan-proxy.ts";
import orphanSidecar from "./rules/orphan-sidecar.ts";
import panMeasured from "./rules/pan-measured.ts";
import panSpeed from "./rules/pan-speed.ts";
import pixelAspect from "./rules/pixel-aspect.ts";
import plannedShotMissing from "./rules/planned-shot-missing.ts";
import proxy from "./rules/proxy.ts";
import rangeFlagWrong from "./rules/range-flag-wrong.ts";
import raster from "./rules/raster.ts";
import rateDisagreement from "./rules/rate-disagreement.ts";
import ratesMixed from "./rules/rates-mixed.ts";
import rawPair from "./rules/raw-pair.ts";
import readerDisagreement from "./rules/reader-disagreement.ts";
import repeatedPictures from "./rules/repeated-pictures.ts";
import rotation from "./rules/rotation.ts";
import scanFlagWrong from "./rules/scan-flag-wrong.ts";
import shake from "./rules/shake.ts";
import shutterAngle from "./rules/shutter-angle.ts";
import shutterLookDiffers from "./rules/shutter-look-differs.ts";
import shutterWanders from "./rules/shutter-wanders.ts";
import slowMotionFit from "./rules/slow-motion-fit.ts";
import soundLength from "./rules/sound-length.ts";
import soundMissing from "./rules/sound-missing.ts";
import soundSlowed from "./rules/sound-slowed.ts";
import spanJoints from "./rules/span-joints.ts";
import standIn from "./rules/stand-in.ts";
import stillShutter from "./rules/still-shutter.ts";
import spanPartMissing from "./rules/span-part-missing.ts";
import telemetryDoubts from "./rules/telemetry-doubts.ts";
import telemetryMissing from "./rules/telemetry-missing.ts";
import telemetryOfOtherClip from "./rules/telemetry-of-other-clip.ts";
import timecodeAbsent from "./rules/timecode-absent.ts";
import timecodeOverlap from "./rules/timecode-overlap.ts";
import timecodeRate from "./rules/timecode-rate.ts";
import timelapseInterval from "./rules/timelapse-interval.ts";
import timelapseLength from "./rules/timelapse-length.ts";
import timelineFit from "./rules/timeline-fit.ts";
import unclosedRecording from "./rules/unclosed-recording.ts";
import unreadable from "./rules/unreadable.ts";
import whiteBalanceDiffers from "./rules/white-balance-differs.ts";
import whiteBalanceDrift from "./rules/white-balance-drift.ts";

/** Rules about a clip as it lies on the card; the order is that of the reports: files at risk first. */
export const clipRules: readonly ClipRule[] = [
  unclosedRecording,
  cutShort,
  unreadable,
  isoCeiling,
  frameTiming,
  repeatedPictures,
  flickerMeasured,
  noiseMeasured,
  clippedOrCrushed,
  blackFrozen,
  shake,
  horizonTilted,
  driftMeasured,
  focusSoft,
  blurAgainstShutter,
  bakedSlowMotion,
  captureRateUnproven,
  rateDisagreement,
  readerDisagreement,
  shutterWanders,
  exposureDrift,
  isoHighForCard,
  whiteBalanceDrift,
  exposureBias,
  editList,
  soundLength,
  headerLength,
  soundMissing,
  entryPoints,
  spanJoints,
  proxy,
  raster,
  aspect,
  rotation,
  pixelAspect,
  interlaced,
  scanFlagWrong,
  digitalZoom,
  colourTagsDisagree,
  rangeFlagWrong,
  deliveryRange,
  hdrBelow10Bit,
  log,
  colourUntagged,
  fastModePenalty,
  bitsPerFrame,
  telemetryMissing,
  telemetryOfOtherClip,
  telemetryDoubts,
  clock,
  timecodeAbsent,
  timecodeRate,
  damagedFacts,
];

/** Rules about one use of a clip. */
export const useRules: readonly UseRule[] = [
  slowMotionFit,
  shutterAngle,
  mainsFlicker,
  timelineFit,
  nearMissRate,
  nd,
  panSpeed,
  panMeasured,
  soundSlowed,
];

/** Rules about the card, and about clips and stills against each other. */
export const cardRules: readonly CardRule[] = [
  plannedShotMissing,
  standIn,
  orphanProxy,
  spanPartMissing,
  nameCollision,
  timecodeOverlap,
  whiteBalanceDiffers,
  lookDiffers,
  bracketIncomplete,
  timelapseInterval,
  numberGap,
  orphanSidecar,
  cardRemarks,
  cardSpace,
  foreignFiles,
  lightLeft,
  lightCostOfRate,
  ratesMixed,
  exposureJump,
  shutterLookDiffers,
  formatDiffers,
  stillShutter,
  rawPair,
  bracketUneven,
  timelapseLength,
];

/** Every rule. */
export const rules: readonly Rule[] = [...clipRules, ...useRules, ...cardRules];

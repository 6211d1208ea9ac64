import { open, readFile } from "node:fs/promises";
import { basename } from "node:path";
import { completeBrief, rateLabel } from "@goodgate/model";
import { CommandError } from "../command-error.ts";
import { exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";
import { reason } from "../output-folder.ts";

/** A commented brief with every key; the ones with a # in front are not stated. */
export const starterBrief = `# What the edit asks of the clips. Remove the # in front of what you know and set the value.
# What is not stated here is assumed; the report names every assumption a verdict hangs on.

# Rate of the timeline: 23.976, 24, 25, 29.97, 30, 50, 59.94 or 60 (or a ratio such as 24000/1001).
timeline: 25

# Size of the delivered picture.
# raster: 3840x2160

# How clips play: real (real time), slow (slow motion) or either (both are judged).
treatment: either

# Speed of slow motion when the edit asks for one: 1/2, 0.5 or 50%.
# slowSpeed: 1/2

# Other treatments for some clips: a folder or a name, * for any characters. The first that matches counts.
# treatments:
#   - clips: "DCIM/101SLOWM"
#     treatment: slow
#     speed: 1/2
#   - clips: "FLY_00*.MP4"
#     treatment: real

# Highest ISO you accept, and other ceilings for some clips.
# isoCeiling: 800
# isoCeilings:
#   - clips: "*NIGHT*"
#     ceiling: 3200

# ISO at which the camera is cleanest.
# baseIso: 100

# Noise in the shadows you accept, in % of the signal range; judged only where --measure asks the pictures.
# noiseLimit: 0.8

# Shutter angle wanted, in degrees, and how many stops away from it still count as right.
# shutterAngle: 180
# shutterTolerance: 0.5

# Mains frequency where lamps may be in the picture: 50 or 60.
# mains: 50

# Whether lamps light the scene: yes, no, or infer (concluded from how dark it is).
# artificialLight: infer

# Neutral density filters at hand, by factor.
# nd: [8, 16, 64]

# Brightest light expected, EV at ISO 100 (full sun is about 15).
# highestLight: 15

# Delivery: sdr or hdr.
# delivery: sdr

# Whether sound and timecode are needed.
# sound: false
# timecode: false

# Whether any uneven step is a fault, and whether short shutters are wanted (crisp) or not (natural).
# strictCadence: false
# motionLook: natural

# Whether the delivery is portrait (taller than wide).
# portrait: false

# Shots the edit must have, and how many clips of each.
# shots:
#   - name: harbour at dawn
#     clips: "DCIM/100FLYER/*"
#     treatment: real
#     count: 1
`;

/** Prints or writes the starter brief, or checks one. */
export async function brief(options: { readonly out?: string; readonly check?: string }, io: Io): Promise<number> {
  if (options.check !== undefined) return await check(options.check, io);
  if (options.out === undefined) {
    io.print(starterBrief);
    return exitCodes.good;
  }
  try {
    const file = await open(options.out, "wx");
    try {
      await file.writeFile(starterBrief);
    } finally {
      await file.close();
    }
  } catch (error) {
    const exists = error instanceof Error && "code" in error && error.code === "EEXIST";
    throw new CommandError(
      exists
        ? `${options.out} is there already and was kept: choose another name`
        : `${options.out}: ${reason(error)}: choose another place`,
    );
  }
  io.tell(`written: ${options.out}`);
  return exitCodes.good;
}

async function check(path: string, io: Io): Promise<number> {
  const { BriefError, parseBrief } = await import("@goodgate/model/brief-file");
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch (error) {
    throw new CommandError(`${path}: ${reason(error)}: goodgate brief > brief.yaml starts one`);
  }
  try {
    const full = completeBrief(parseBrief(text, basename(path)));
    io.print(
      `${path} can be read.\n  timeline ${rateLabel(full.timelineRate)} frames/s, treatment ${full.treatment}\n`,
    );
    for (const [item, why] of Object.entries(full.assumed)) io.print(`  assumed: ${item}: ${why}\n`);
    return exitCodes.good;
  } catch (error) {
    if (error instanceof BriefError) throw new CommandError(error.message);
    throw error;
  }
}

import { texturedScene } from "./scenes.ts";
import { exposures, codes } from "./film.ts";
import { pairMotion } from "../src/global-motion.ts";
import { gatherBlur, bins } from "../src/shutter/blur-spectrum.ts";
import { angleEvidence, triedDegrees, allowsLength } from "../src/shutter/blur-fit.ts";
import { record } from "./encode.ts";
import { spawnSync } from "node:child_process";
const [tex,codec,sp,ang]=[process.argv[2] as any,process.argv[3] as any,Number(process.argv[4]),Number(process.argv[5])];
const enc="/work/main/node_modules/.pnpm/@ffmpeg-installer+linux-x64@4.1.0/node_modules/@ffmpeg-installer/linux-x64/ffmpeg";
const how={codec,bitsPerPixel:codec==="hevc"?0.25:0.4,frameRate:"30",width:960,height:540,bitDepth:8};
const path=await record(enc,"/work/main/.cache/measure",JSON.stringify(["v1",`angle ${tex}`,60,ang,null,null,null,"0.006",String(sp)].map(x=>x===null?undefined:x)),()=>{throw new Error("not cached")},how as any);
const CW=512,CH=256;
  const Y="'18+mod(floor(n/2),2)*250'", X="'mod(floor(n/4),2)*448'";
  const out=spawnSync("ffmpeg",["-v","error","-i",path,"-vf",`extractplanes=y,crop=${CW}:${CH}:${X}:${Y}`,"-f","rawvideo","-pix_fmt","gray","-"],{maxBuffer:1e9}).stdout;
  const n=out.length/(CW*CH);
let g:any; const curves:any[]=[]; let c=0;
for(let k=0;k+1<n;k+=2){ const a=Float64Array.from(out.subarray(k*CW*CH,(k+1)*CW*CH)), b=Float64Array.from(out.subarray((k+1)*CW*CH,(k+2)*CW*CH));
 const m=pairMotion(a,b,CW,CH)!; 
 console.log(k, m.dx.toFixed(2), m.dy.toFixed(2), m.peak.toFixed(2));
 g??=gatherBlur(Math.hypot(m.dx,m.dy)); g.add(m.power,CW,CH,m.dx,m.dy);
 if(g.pairs>=6){ const s=g.spectrum(); const ev=angleEvidence(s,1.2/CW); let bi=0; ev.forEach((e,i)=>{if(e>ev[bi])bi=i});
  console.log("chunk", s.step.toFixed(2), triedDegrees[bi], ev[bi].toFixed(1), "at", [90,135,180,270,360].map(d=>d+":"+ev[triedDegrees.indexOf(d)].toFixed(1)+(allowsLength(s,s.step*d/360)?"":"x")).join(" "));
  if(c++===0) for(let band=0;band<6;band++) console.log(band, Array.from({length:48},(_,i)=>(10*Math.log10(s.power[band*bins+i+1])).toFixed(0)).join(" "));
  g=undefined; }
}

import { PNG } from "pngjs"; import { readFileSync, writeFileSync } from "node:fs";
const [,, out, cols, ...files] = process.argv;
let parts = files.map(f=>PNG.sync.read(readFileSync(f)));
if (files.length===1) { const p=parts[0], n=Number(cols), h=Math.ceil(p.height/n); parts=[...Array(n).keys()].map(i=>{const q=new PNG({width:p.width,height:h}); const hh=Math.min(h,p.height-i*h); PNG.bitblt(p,q,0,i*h,p.width,hh,0,0); return q;}); }
const W=parts.reduce((a,p)=>a+p.width+6,0), H=Math.max(...parts.map(p=>p.height)); const o=new PNG({width:W,height:H}); let x=0; for(const p of parts){PNG.bitblt(p,o,0,0,p.width,p.height,x,0); x+=p.width+6;}
writeFileSync(out, PNG.sync.write(o)); console.log(W,H);

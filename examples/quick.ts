import { guidancePattern, localFrame, NmeaReader, PassFollower, straightLine } from "../src/index.js";

const frame = localFrame({ latitude: 47.25, longitude: 20.75, altitude: 129 });
const a = frame.toLocal({ latitude: 47.2502, longitude: 20.7501 });
const b = frame.toLocal({ latitude: 47.2536, longitude: 20.7503 });
const follower = new PassFollower(guidancePattern(straightLine(a, b), { swathWidth: 24 }));
const sentence = "$GNRMC,081500.0,A,4715.1066,N,02045.0497,E,8.75,2.1,160425,,,R*5D\r\n";
const reader = new NmeaReader();
for (const fix of [...reader.push(new TextEncoder().encode(sentence)), ...reader.flush()]) {
  const [x, y] = frame.toLocal(fix);
  const { pass, steer, steerDistance } = follower.update(x, y, fix.course!);
  console.log(`pass ${pass}, steer ${steer} ${(steerDistance * 100).toFixed(1)} cm`);
}

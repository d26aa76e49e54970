// the few parts of jsts that the survey bench uses; see jsts.d.ts
declare module "jsts/org/locationtech/jts/operation/union/UnaryUnionOp.js" {
  export default class UnaryUnionOp {
    static union(geometries: unknown): unknown;
  }
}
declare module "jsts/org/locationtech/jts/operation/buffer/BufferOp.js" {
  export default class BufferOp {
    static bufferOp(geometry: unknown, distance: number): { getArea(): number };
  }
}
declare module "jsts/java/util/ArrayList.js" {
  export default class ArrayList {
    add(element: unknown): boolean;
  }
}

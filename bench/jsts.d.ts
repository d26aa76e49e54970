// the few parts of jsts that the benches use; the package has no types of its own for these paths
declare module "jsts/org/locationtech/jts/geom/GeometryFactory.js" {
  export default class GeometryFactory {
    createPoint(coordinate: unknown): unknown;
    createLineString(coordinates: readonly unknown[]): unknown;
    createLinearRing(coordinates: readonly unknown[]): unknown;
    createPolygon(shell: unknown, holes?: readonly unknown[]): unknown;
  }
}
declare module "jsts/org/locationtech/jts/geom/Coordinate.js" {
  export default class Coordinate {
    constructor(x: number, y: number);
    x: number;
    y: number;
  }
}
declare module "jsts/org/locationtech/jts/operation/distance/IndexedFacetDistance.js" {
  export default class IndexedFacetDistance {
    constructor(geometry: unknown);
    distance(geometry: unknown): number;
  }
}
declare module "jsts/org/locationtech/jts/operation/distance/DistanceOp.js" {
  export default class DistanceOp {
    static distance(a: unknown, b: unknown): number;
  }
}
declare module "jsts/org/locationtech/jts/algorithm/locate/IndexedPointInAreaLocator.js" {
  export default class IndexedPointInAreaLocator {
    constructor(geometry: unknown);
    locate(coordinate: unknown): number;
  }
}

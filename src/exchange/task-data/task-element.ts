/** An element that is kept as it stands. */
export interface TaskElement {
  /** name as it stands, with its prefix where it has one */
  readonly name: string;
  /** attributes in their order, those that declare namespaces with them */
  readonly attributes: readonly (readonly [name: string, value: string])[];
  /** elements and texts inside, in their order; blanks between elements are left out where there is no other text */
  readonly children: readonly (TaskElement | string)[];
}

/** What of an element is not understood: kept, and written back unchanged. */
export interface TaskOther {
  /** attributes that have no meaning here, those of makers (`P094_...`) among them, and optional numbers that are empty */
  readonly attributes?: readonly (readonly [name: string, value: string])[];
  /** elements and texts that have no meaning here, in their order; they are written behind those that have */
  readonly children?: readonly (TaskElement | string)[];
}

/** What every element may carry. */
export interface TaskExtra {
  /** what is not understood; absent where there is nothing */
  readonly other?: TaskOther;
}

export declare const spentBy: () => number;
export declare function slowness(): number;

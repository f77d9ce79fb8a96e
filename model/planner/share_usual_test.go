package planner

// Share is the part of the drawn rooms that a run takes, as one in so many.
const Share = 1

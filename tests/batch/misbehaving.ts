// jobs that bring their thread down, by the name of their field
import type { JobResult } from "../../examples/batch/job.js";
import { inThread, type ThreadTask } from "../../examples/batch/thread.js";

export default (task: ThreadTask): JobResult =>
  inThread(task, ({ field }) => {
    if (field.id === "exit") process.exit(3);
    if (field.id === "throw") throw new Error("fell over");
    if (field.id === "loop") for (;;);
    if (field.id === "memory") {
      const kept: object[] = [];
      for (;;) kept.push(Array.from({ length: 1000 }, (_, i) => ({ i })));
    }
    return { status: "error", error: { code: "fine", message: field.id, argument: null } };
  });

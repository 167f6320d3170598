package org.bathwarden.simulator.st;

/** A program with its memory. */
public final class Machine {

  private final Program program;
  private final long[] cells;

  /** The program on a PLC that has never run. */
  public Machine(Program program) {
    this.program = program;
    this.cells = program.fresh.clone();
  }

  /** Cell of a variable of the program, as in {@code tank1.tank.shown.ph}. */
  public int cell(String path) {
    return program.cell(path);
  }

  /** One scan, {@code elapsedMs} after the one before by the PLC's own timer. */
  public void scan(long elapsedMs) {
    cells[Program.NOW] += elapsedMs;
    program.body.run(cells, program.programAt);
  }

  /** Power-down and up: all but the retentive memory is as in a fresh program. */
  public void restart() {
    for (int i = Program.NOW + 1; i < cells.length; i++) {
      if (!program.retained[i]) {
        cells[i] = program.fresh[i];
      }
    }
  }

  /** Power-down and up with the retentive memory lost. */
  public void loseMemory() {
    System.arraycopy(program.fresh, 1, cells, 1, cells.length - 1);
  }

  /** Reads a cell; of a REAL its bits. */
  public long get(int cell) {
    return cells[cell];
  }

  /** Writes a cell, cut to nothing: the caller gives what fits. */
  public void set(int cell, long value) {
    cells[cell] = value;
  }
}

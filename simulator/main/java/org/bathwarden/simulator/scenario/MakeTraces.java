package org.bathwarden.simulator.scenario;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;

/** Makes seeded traces of ten days each: {@code OUTDIR COUNT FIRSTSEED}. */
public final class MakeTraces {

  private MakeTraces() {}

  /**
   * Writes {@code COUNT} traces into folders of {@code OUTDIR}, in turn in plain, hard and faulty
   * service, and their groups.csv.
   */
  public static void main(String[] arguments) throws IOException {
    if (arguments.length != 3) {
      throw new IllegalArgumentException("usage: MakeTraces OUTDIR COUNT FIRSTSEED");
    }
    Path out = Path.of(arguments[0]);
    int count = Integer.parseInt(arguments[1]);
    long firstSeed = Long.parseLong(arguments[2]);
    StringBuilder groups = new StringBuilder("name,group\n");
    for (int i = 0; i < count; i++) {
      TraceCase.Group group = TraceCase.Group.values()[i % TraceCase.Group.values().length];
      TraceCase what = TraceCase.draw(group, firstSeed + i);
      String name = what.scenario().name();
      TraceWriter.write(what, TraceCase.DAYS * 24 * 60, out.resolve(name));
      groups.append(name).append(',').append(group.name().toLowerCase(Locale.ROOT)).append('\n');
      Files.writeString(out.resolve("groups.csv"), groups);
    }
  }
}

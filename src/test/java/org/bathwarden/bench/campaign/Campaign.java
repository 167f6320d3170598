package org.bathwarden.bench.campaign;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

final class Campaign {
  public static void main(String[] arguments) {
    Setting setting = new Setting(Path.of(arguments[0]));
    long from = Long.parseLong(arguments[1]);
    long count = Long.parseLong(arguments[2]);
    long start = System.nanoTime();
    int orders = 0;
    List<Long> bad = new ArrayList<>();
    for (long seed = from; seed < from + count; seed++) {
      Verdict v = Run.of(Generator.sequence(seed), setting);
      orders += v.orders();
      if (!v.found().isEmpty()) {
        bad.add(seed);
        System.out.println(seed + " " + v.found() + " " + v.ends());
      }
    }
    System.out.printf("%d, %d orders, %d bad, %.1f s%n", count, orders, bad.size(), (System.nanoTime() - start) / 1e9);
  }
}

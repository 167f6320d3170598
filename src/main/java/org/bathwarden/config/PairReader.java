package org.bathwarden.config;

import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Predicate;
import org.bathwarden.dosing.Pair;

/** Reads which instances share the lines, and when this one may take them. */
final class PairReader {

  private PairReader() {}

  /** The pair of a configuration; alone where none is configured, or where it is refused. */
  static Pair read(Section root, Predicate<Section> sound, List<Problem> problems) {
    int instance = root.whole("instance", 1);
    Section section = root.section("pair");
    if (!root.has("pair") || !sound.test(section)) {
      return Pair.alone(instance);
    }
    Set<Integer> peers = new TreeSet<>();
    for (Section peer : section.list("peers")) {
      if (peer.node().asInt() == instance) {
        problems.add(
            peer.error(
                "",
                "is this controller's own number (instance): name the others, and give each"
                    + " controller on a line a number of its own"));
      }
      peers.add(peer.node().asInt());
    }
    peers.remove(instance);
    return new Pair(
        instance, peers, section.word(Pair.Takeover.class, "takeover", Pair.Takeover.AUTOMATIC));
  }
}

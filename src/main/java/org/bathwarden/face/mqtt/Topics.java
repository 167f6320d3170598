package org.bathwarden.face.mqtt;

import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/**
 * All topics of one controller. One that shares its lines with others publishes on a branch of its
 * own, so that no two of them write the same retained topic; what people ask of the site reaches
 * them all.
 */
final class Topics {
  private final String site;
  private final String own;

  Topics(String site, Optional<Integer> branch) {
    this.site = "bathwarden/" + site;
    this.own = this.site + branch.map(instance -> "/instance/" + instance).orElse("");
  }

  String status() {
    return own + "/status";
  }

  String state(String tank) {
    return own + "/tank/" + level(tank) + "/state";
  }

  String alarm(String tank, String alarm) {
    return own + "/tank/" + level(tank) + "/alarm/" + level(alarm);
  }

  /** A name as one topic level: what has a meaning in topics is replaced. */
  private static String level(String name) {
    return name.replaceAll("[^A-Za-z0-9._-]", "_");
  }

  String event() {
    return own + "/event";
  }

  /** Where requests come: to every controller of the site, and to this one. */
  Set<String> requests() {
    Set<String> both = new TreeSet<>();
    both.add(site + "/request");
    both.add(own + "/request");
    return both;
  }

  /** What every reply address starts with. */
  String replies() {
    return site + "/reply/";
  }

  /** Where a refusal goes whose reply address could not be read. */
  String unaddressed() {
    return site + "/reply/unaddressed";
  }

  /** Where replayed events go: one level below the reply address. */
  String replay(String replyTo) {
    return replyTo + "/event";
  }
}

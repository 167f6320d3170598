package org.bathwarden.record;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * What a look through a whole record found.
 *
 * @param file the record
 * @param version version of its tables; 0 if it could not be read
 * @param events number of events
 * @param newest number of the newest event; 0 if there is none
 * @param newestHash its hash, hexadecimal: note it elsewhere, for who cuts off the end of a record,
 *     or writes it all anew, is only found against a hash that was noted
 * @param findings what is wrong
 * @param notListed findings beyond those listed
 * @param known damage that an earlier start found and wrote into the record itself
 */
public record Verification(
    Path file,
    int version,
    long events,
    long newest,
    String newestHash,
    List<Finding> findings,
    long notListed,
    List<String> known) {

  /** More findings than this are only counted. */
  static final int FINDINGS_MAX = 1000;

  /** Copies the lists. */
  public Verification {
    findings = List.copyOf(findings);
    known = List.copyOf(known);
  }

  /** What a finding is about. */
  public enum Kind {
    /** The file as such: cut off, unreadable, of another program or version. */
    FILE,
    /** Pages, rows and indexes do not fit together. */
    PAGES,
    /** Tables are not as this version makes them. */
    SCHEMA,
    /** Events that are missing, or not as they were written. */
    CHAIN,
    /** A quality record that cannot be read any more. */
    UNREADABLE,
    /** Settings that were in force, but whose text is missing or another one. */
    SETTINGS,
    /** A state that a start could not take up. */
    STATE,
    /** A hash that was noted is not in the chain. */
    NOTED
  }

  /**
   * One thing that is wrong.
   *
   * @param kind what it is about
   * @param text what it is, for people
   */
  public record Finding(Kind kind, String text) {}

  /** Whether nothing is wrong. */
  public boolean sound() {
    return findings.isEmpty();
  }

  /** The same of a file that was given another name. */
  Verification at(Path named) {
    return new Verification(named, version, events, newest, newestHash, findings, notListed, known);
  }

  /**
   * Looks through a record, also while the service has it open; changes nothing.
   *
   * @param noted a hash that was noted at an earlier time and must be in the chain
   * @throws RecordException if there is no such file
   */
  public static Verification of(Path file, Optional<String> noted) throws RecordException {
    return Verifier.run(file, noted);
  }
}

package org.bathwarden.alarm;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Deque;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * The alarm catalogue in force: the defaults, or what the site made of them.
 *
 * @param definitions one for each key
 */
public record AlarmSettings(Map<AlarmKey, AlarmDefinition> definitions) {

  /** Copies the map, in the order of the catalogue. */
  public AlarmSettings {
    Map<AlarmKey, AlarmDefinition> copy = new EnumMap<>(AlarmKey.class);
    copy.putAll(definitions);
    definitions = Collections.unmodifiableMap(copy);
  }

  /** The defaults, to be rationalised on site. */
  public static AlarmSettings defaults() {
    Map<AlarmKey, AlarmDefinition> all = new EnumMap<>(AlarmKey.class);
    AlarmCatalogue.defaults().forEach(d -> all.put(d.key(), d));
    return new AlarmSettings(all);
  }

  /** The same with another definition of one alarm. */
  public AlarmSettings with(AlarmDefinition definition) {
    Map<AlarmKey, AlarmDefinition> all = new EnumMap<>(definitions);
    all.put(definition.key(), definition);
    return new AlarmSettings(all);
  }

  /**
   * Definition of {@code key}; one that is missing, which {@link #validate} refuses, is the
   * default.
   */
  public AlarmDefinition of(AlarmKey key) {
    AlarmDefinition definition = definitions.get(key);
    return definition == null ? AlarmCatalogue.defaultOf(key) : definition;
  }

  /** Everything that is wrong; empty if the settings can be used. */
  public List<Problem> validate() {
    List<Problem> problems = new ArrayList<>();
    for (AlarmKey key : AlarmKey.values()) {
      AlarmDefinition definition = definitions.get(key);
      if (definition == null) {
        problems.add(new Problem(key.key(), "missing", "every alarm of the catalogue is defined"));
      } else {
        problems.addAll(DefinitionCheck.of(definition));
      }
    }
    Arrays.stream(AlarmKey.values())
        .filter(key -> causesOf(key).contains(key))
        .forEach(
            key ->
                problems.add(
                    new Problem(
                        key.key() + ".hidden_by",
                        "a circle through " + key.key(),
                        "causes that are not consequences of their consequences")));
    return List.copyOf(problems);
  }

  /** All causes of {@code key}, direct and behind others. */
  private Set<AlarmKey> causesOf(AlarmKey key) {
    Set<AlarmKey> found = new HashSet<>();
    Deque<AlarmKey> open = new ArrayDeque<>(of(key).hiddenBy());
    while (!open.isEmpty()) {
      AlarmKey cause = open.pop();
      if (found.add(cause)) {
        open.addAll(of(cause).hiddenBy());
      }
    }
    return found;
  }

  /**
   * One thing that is wrong with the settings.
   *
   * @param path which setting, {@code alarm.field}
   * @param found what was found
   * @param allowed what is allowed, and why
   */
  public record Problem(String path, String found, String allowed) {}
}

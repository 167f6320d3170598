package org.bathwarden.architecture;

import static java.util.stream.Collectors.toUnmodifiableSet;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption.DoNotIncludeTests;
import com.tngtech.archunit.core.importer.ImportOption.OnlyIncludeTests;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The rooms and what each may use. A room is named by its package below {@code org.bathwarden}:
 * {@code tank}, {@code line}, {@code line.modbus}; packages further down belong to the room above
 * them.
 */
final class Rooms {

  static final String ROOT = "org.bathwarden";
  static final String SIMULATOR = "simulator";

  /** The classes of the jar. */
  static final JavaClasses MAIN =
      new ClassFileImporter().withImportOption(new DoNotIncludeTests()).importPackages(ROOT);

  /** The classes of the tests. */
  static final JavaClasses TESTS =
      new ClassFileImporter().withImportOption(new OnlyIncludeTests()).importPackages(ROOT);

  /** Rooms whose direct subpackages are rooms of their own. */
  private static final Set<String> DIVIDED = Set.of("line", "face");

  /** Decides, and touches nothing outside itself. */
  static final Set<String> CORE =
      Set.of("tank", "signal", "estimate", "dosing", "alarm", "cycle", "line");

  /** Room to the other rooms it may use; every arrow points to a row further up. */
  static final Map<String, Set<String>> MAY_USE = table();

  private Rooms() {}

  private static Map<String, Set<String>> table() {
    Map<String, Set<String>> table = new LinkedHashMap<>();
    table.put(SIMULATOR, Set.of());
    table.put("tank", Set.of());
    table.put("signal", Set.of("tank"));
    table.put("estimate", Set.of("tank", "signal"));
    table.put("line", Set.of("tank", "signal"));
    table.put("dosing", Set.of("tank", "signal", "estimate", "line"));
    table.put("alarm", Set.of("tank"));
    table.put("cycle", Set.of("tank", "signal", "estimate", "line", "dosing", "alarm"));
    table.put("line.pulse", Set.of("tank", "signal", "line"));
    table.put("line.modbus", Set.of("tank", "signal", "line", "line.pulse"));
    table.put("line.opcua", Set.of("tank", "signal", "line"));
    table.put("record", CORE);
    table.put("face", CORE);
    for (String face : List.of("face.mqtt", "face.opcua", "face.web", "face.metrics")) {
      table.put(face, union(CORE, Set.of("record", "face")));
    }
    table.put("config", Set.copyOf(withoutSimulator(table)));
    table.put("service", Set.copyOf(withoutSimulator(table)));
    table.put("cli", Set.copyOf(table.keySet()));
    return table;
  }

  private static Set<String> withoutSimulator(Map<String, Set<String>> table) {
    return table.keySet().stream()
        .filter(room -> !room.equals(SIMULATOR))
        .collect(toUnmodifiableSet());
  }

  private static Set<String> union(Set<String> one, Set<String> other) {
    return Stream.concat(one.stream(), other.stream()).collect(toUnmodifiableSet());
  }

  static boolean ours(JavaClass type) {
    return type.getPackageName().equals(ROOT) || type.getPackageName().startsWith(ROOT + ".");
  }

  /** The room of one of our classes; {@code ""} for a class in the root package itself. */
  static String room(JavaClass type) {
    String below = type.getPackageName().substring(ROOT.length());
    String[] parts = below.isEmpty() ? new String[] {""} : below.substring(1).split("\\.");
    return parts.length > 1 && DIVIDED.contains(parts[0]) ? parts[0] + "." + parts[1] : parts[0];
  }

  static DescribedPredicate<JavaClass> in(Set<String> rooms) {
    return DescribedPredicate.describe(
        "are in " + rooms, type -> ours(type) && rooms.contains(room(type)));
  }

  static DescribedPredicate<JavaClass> inOtherRoomsThan(Set<String> rooms) {
    return DescribedPredicate.describe(
        "are in other rooms than " + rooms, type -> ours(type) && !rooms.contains(room(type)));
  }
}

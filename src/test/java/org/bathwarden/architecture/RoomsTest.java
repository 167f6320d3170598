package org.bathwarden.architecture;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaClass;
import java.util.HashSet;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.jspecify.annotations.NullMarked;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.function.Executable;

/** Every class is in a known room, and arrows between rooms run downwards only. */
class RoomsTest {

  @TestFactory
  Stream<DynamicTest> aRoomUsesOnlyTheRoomsBelowIt() {
    return Rooms.MAY_USE.keySet().stream().map(room -> DynamicTest.dynamicTest(room, check(room)));
  }

  private static Executable check(String room) {
    Set<String> allowed = new HashSet<>(Rooms.MAY_USE.getOrDefault(room, Set.of()));
    allowed.add(room);
    return () ->
        noClasses()
            .that(Rooms.in(Set.of(room)))
            .should()
            .dependOnClassesThat(Rooms.inOtherRoomsThan(allowed))
            .as(room + " uses only " + new TreeSet<>(allowed))
            .allowEmptyShould(true)
            .check(Rooms.MAIN);
  }

  @Test
  void theTableItselfHasNoArrowUpwards() {
    Set<String> above = new HashSet<>();
    Rooms.MAY_USE.forEach(
        (room, allowed) -> {
          assertTrue(above.containsAll(allowed), () -> room + " may use " + allowed);
          above.add(room);
        });
  }

  @Test
  void everyClassIsInARoomOfTheTable() {
    Set<String> strays = new TreeSet<>();
    for (JavaClass type : Rooms.MAIN) {
      boolean rootsOwnPackageInfo = type.getPackageName().equals(Rooms.ROOT) && isPackageInfo(type);
      if (!rootsOwnPackageInfo && !Rooms.MAY_USE.containsKey(Rooms.room(type))) {
        strays.add(type.getName());
      }
    }
    assertEquals(Set.of(), strays);
  }

  @Test
  void packagesHaveNoCycles() {
    slices().matching(Rooms.ROOT + ".(**)").should().beFreeOfCycles().check(Rooms.MAIN);
  }

  @Test
  void everyPackageIsNullMarked() {
    Set<String> unmarked = new TreeSet<>();
    Set<String> marked = new HashSet<>();
    for (JavaClass type : Rooms.MAIN) {
      unmarked.add(type.getPackageName());
      if (isPackageInfo(type) && type.isAnnotatedWith(NullMarked.class)) {
        marked.add(type.getPackageName());
      }
    }
    unmarked.removeAll(marked);
    assertEquals(Set.of(), unmarked);
  }

  @Test
  void theSimulatorsTestsKnowNothingOfTheControllerEither() {
    classes()
        .that(Rooms.in(Set.of(Rooms.SIMULATOR)))
        .should()
        .onlyDependOnClassesThat(
            DescribedPredicate.not(Rooms.inOtherRoomsThan(Set.of(Rooms.SIMULATOR, "reference"))))
        .allowEmptyShould(true)
        .check(Rooms.TESTS);
  }

  private static boolean isPackageInfo(JavaClass type) {
    return type.getSimpleName().equals("package-info");
  }
}

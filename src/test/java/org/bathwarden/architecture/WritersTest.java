package org.bathwarden.architecture;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.AccessTarget.CodeUnitAccessTarget;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import java.util.Set;
import org.junit.jupiter.api.Test;

/**
 * What can write to the line comes into being in {@code service} only, where the mode is known. An
 * adapter may build its own writer, but hand it out to {@code service} alone.
 */
class WritersTest {

  private static final Set<String> PORTS =
      Set.of(Rooms.ROOT + ".line.LineWriter", Rooms.ROOT + ".line.LineStopper");

  @Test
  void onlyTheServiceOrTheAdapterItselfGetsHoldOfAWriter() {
    DescribedPredicate<JavaAccess<?>> builds =
        describe("builds or obtains a writer from another package", WritersTest::obtainsWriter);
    noClasses()
        .that(Rooms.inOtherRoomsThan(Set.of("service")))
        .should()
        .accessTargetWhere(builds)
        .check(Rooms.MAIN);
  }

  /** Constructors and factory methods alike, called or passed on as a reference. */
  private static boolean obtainsWriter(JavaAccess<?> access) {
    JavaClass from = access.getOriginOwner();
    JavaClass owner = access.getTargetOwner();
    return Rooms.ours(owner)
        && !owner.getPackageName().equals(from.getPackageName())
        && access.getTarget() instanceof CodeUnitAccessTarget target
        && (constructsWriter(target) || handsOutWriter(target));
  }

  private static boolean constructsWriter(CodeUnitAccessTarget target) {
    return target.getName().equals("<init>") && writes(target.getOwner());
  }

  /** Also wrapped, as in {@code Optional<LineWriter>}. */
  private static boolean handsOutWriter(CodeUnitAccessTarget target) {
    return writes(target.getRawReturnType())
        || target.resolveMember().stream()
            .flatMap(method -> method.getReturnType().getAllInvolvedRawTypes().stream())
            .anyMatch(WritersTest::writes);
  }

  private static boolean writes(JavaClass type) {
    return PORTS.stream().anyMatch(type::isAssignableTo);
  }
}

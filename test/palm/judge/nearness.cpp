// Signed distances of pairs of bodies by FCL, for a test of ours. Reads two bodies a line: kind
// (0 box, 1 capsule, 2 cylinder, 3 a box whose far end in x is half as high), place, axes x, y, z,
// half lengths; answers a distance a line.
#include <fcl/geometry/shape/box.h>
#include <fcl/geometry/shape/capsule.h>
#include <fcl/geometry/shape/convex.h>
#include <fcl/geometry/shape/cylinder.h>
#include <fcl/narrowphase/distance.h>

#include <cstdio>
#include <memory>
#include <vector>

using fcl::CollisionObjectd;

static std::shared_ptr<fcl::CollisionGeometryd> wedge(double x, double y, double z)
{
    auto at = std::make_shared<std::vector<fcl::Vector3d>>();
    for (int k = 0; k < 8; k++)
        at->push_back({k & 1 ? x : -x, k & 2 ? y : -y, (k & 4 ? z : -z) * (k & 1 ? 0.5 : 1)});
    auto face = std::make_shared<std::vector<int>>(
        std::vector<int>{4, 0, 4, 6, 2, 4, 1, 3, 7, 5, 4, 0, 1, 5, 4,
                         4, 2, 6, 7, 3, 4, 0, 2, 3, 1, 4, 4, 5, 7, 6});
    return std::make_shared<fcl::Convexd>(at, 6, face);
}

static std::shared_ptr<CollisionObjectd> read(bool *ok)
{
    int kind;
    double v[15];
    *ok = std::scanf("%d", &kind) == 1;
    for (double &x : v) *ok = *ok && std::scanf("%lf", &x) == 1;
    if (!*ok) return nullptr;
    fcl::Transform3d at = fcl::Transform3d::Identity();
    for (int i = 0; i < 3; i++) {
        at.translation()[i] = v[i];
        for (int k = 0; k < 3; k++) at.linear()(i, k) = v[3 + 3 * k + i];
    }
    std::shared_ptr<fcl::CollisionGeometryd> shape;
    if (kind == 0) shape = std::make_shared<fcl::Boxd>(2 * v[12], 2 * v[13], 2 * v[14]);
    if (kind == 1) shape = std::make_shared<fcl::Capsuled>(v[12], 2 * v[14]);
    if (kind == 2) shape = std::make_shared<fcl::Cylinderd>(v[12], 2 * v[14]);
    if (kind == 3) shape = wedge(v[12], v[13], v[14]);
    return std::make_shared<CollisionObjectd>(shape, at);
}

// Its signed distance: the simplex walk apart, an expanding polytope together.
static double judge(const CollisionObjectd *a, const CollisionObjectd *b)
{
    fcl::DistanceRequestd ask;
    ask.enable_nearest_points = true;
    ask.enable_signed_distance = true;
    ask.gjk_solver_type = fcl::GST_LIBCCD;
    ask.distance_tolerance = 1e-7;
    fcl::DistanceResultd got;
    return fcl::distance(a, b, ask, got);
}

int main()
{
    bool ok = true;
    for (;;) {
        auto a = read(&ok);
        if (!ok) return 0;
        auto b = read(&ok);
        if (!ok) return 1;
        std::printf("%.17g\n", judge(a.get(), b.get()));
    }
}
